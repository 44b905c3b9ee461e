import traverse, { type NodePath } from "@babel/traverse";
import { parsedCell } from "./parsed-cell.ts";

/**
 * Whether code cells do nothing but name values and show them: whatever a cell gives then follows
 * from its own code and from the code of the names it takes, and from nothing that another cell
 * did. Cells that write to a variable or into an object, call a method that might, ask for the time
 * or for chance, or import anything but the library, are not plain; nor is what is not known here.
 */
export function isPlain(cells: readonly string[]): boolean {
  const files = cells.map(parsedCell);
  const known = files.filter((file) => file !== undefined);
  if (known.length < files.length) return false;
  const given = new Set<string>();
  const library = new Set<string>();
  for (const file of known) {
    let twice = false;
    traverse(file, {
      Program(program) {
        for (const [name, { path }] of Object.entries(program.scope.bindings)) {
          twice ||= given.has(name);
          given.add(name);
          if (path.isImportNamespaceSpecifier()) library.add(name);
        }
      },
    });
    if (twice) return false;
  }
  return known.every((file) => {
    let plain = true;
    traverse(file, {
      enter(path) {
        if (typesAlone.has(path.node.type) || path.key === "typeAnnotation") path.skip();
        else if (!isPlainNode(path, { given, library })) {
          plain = false;
          path.stop();
        }
      },
    });
    return plain;
  });
}

interface Names {
  /** What the cells themselves give. */
  given: ReadonlySet<string>;
  /** What stands for the whole library among it. */
  library: ReadonlySet<string>;
}

function isPlainNode(path: NodePath, names: Names): boolean {
  if (!plainNodes.has(path.node.type)) return false;
  if (path.isImportDeclaration()) return path.node.source.value === "mitral";
  if (path.isVariableDeclaration()) return path.node.kind === "const";
  if (path.isUnaryExpression()) return path.node.operator !== "delete";
  if (path.isFunctionDeclaration()) return !path.node.generator;
  if (path.isNewExpression()) {
    const { callee } = path.node;
    return callee.type === "Identifier" && collections.has(callee.name);
  }
  if (path.isCallExpression() || path.isOptionalCallExpression()) return isPlainCall(path, names);
  if (path.isMemberExpression() || path.isOptionalMemberExpression()) {
    const { computed, property } = path.node;
    return computed || (property.type === "Identifier" && !changing.has(property.name));
  }
  if (path.isStringLiteral()) return path.node.value !== inPlace;
  if (path.isIdentifier() && path.node.name === inPlace) return false;
  return !path.isReferencedIdentifier() || isPlainName(path, names);
}

/** A name that is given in the cells, or a part of the language that is used as it should be. */
function isPlainName(path: NodePath, { given }: Names): boolean {
  if (!path.isIdentifier()) return false;
  const { name } = path.node;
  if (path.scope.hasBinding(name, { noGlobals: true }) || given.has(name)) return true;
  if (values.has(name) || collections.has(name)) return true;
  const { parentPath } = path;
  if (converting.has(name) && parentPath?.isCallExpression()) return path.key === "callee";
  return harmlessOf.has(name) && path.key === "object" && parentPath !== null &&
    parentPath.isMemberExpression() && parentPath.key === "callee";
}

function isPlainCall(path: NodePath, { given, library }: Names): boolean {
  if (!path.isCallExpression() && !path.isOptionalCallExpression()) return false;
  const callee = path.get("callee");
  if (!callee.isMemberExpression() && !callee.isOptionalMemberExpression()) return true;
  const { object, property, computed } = callee.node;
  if (computed || property.type !== "Identifier") return false;
  const { name } = property;
  if (object.type !== "Identifier") return harmless.has(name);
  const isOwn = path.scope.hasBinding(object.name, { noGlobals: true }) || given.has(object.name);
  if (!isOwn) return harmlessOf.get(object.name)?.has(name) ?? false;
  return harmless.has(name) || library.has(object.name);
}

const words = (text: string) => new Set(text.trim().split(/\s+/));

/** Code that is gone when it runs. */
const typesAlone = words(`
  TSInterfaceDeclaration TSTypeAliasDeclaration TSTypeAnnotation TSTypeParameterDeclaration
  TSTypeParameterInstantiation
`);

const plainNodes = words(`
  ArrayExpression ArrayPattern ArrowFunctionExpression AssignmentPattern AwaitExpression
  BinaryExpression BlockStatement BooleanLiteral CallExpression ConditionalExpression Directive
  DirectiveLiteral EmptyStatement ExpressionStatement File ForOfStatement FunctionDeclaration
  Identifier IfStatement ImportDeclaration ImportNamespaceSpecifier ImportSpecifier
  LogicalExpression MemberExpression NewExpression NullLiteral NumericLiteral ObjectExpression
  ObjectPattern ObjectProperty OptionalCallExpression OptionalMemberExpression
  ParenthesizedExpression Program RegExpLiteral RestElement ReturnStatement SpreadElement
  StringLiteral TSAsExpression TSNonNullExpression TSSatisfiesExpression TemplateElement
  TemplateLiteral UnaryExpression VariableDeclaration VariableDeclarator
`);

const values = words("undefined NaN Infinity");
const converting = words("Number String Boolean");
const collections = words("Map Set");

/** Functions of the language's own objects that give the same for the same, and change nothing. */
const harmlessOf: ReadonlyMap<string, ReadonlySet<string>> = new Map([
  ["Array", words("from isArray of")],
  ["JSON", words("stringify")],
  ["Math", words("abs cbrt ceil exp floor hypot log log10 log1p log2 max min pow round sign sqrt")],
  ["Number", words("isFinite isInteger isNaN parseFloat parseInt")],
  ["Object", words("entries fromEntries keys values")],
  ["Promise", words("all")],
  ["console", words("debug error info log warn")],
]);

/**
 * Methods of texts, lists and collections that change nothing, of the library's own results, and of
 * its data frames, which a new frame comes out of.
 */
const harmless = words(`
  at concat endsWith every filter find findIndex findLast findLastIndex flat flatMap get has
  includes indexOf join lastIndexOf map padEnd padStart reduce repeat replace replaceAll slice some
  split startsWith toFixed toLowerCase toReversed toSorted toSpliced toString toUpperCase trim
  with
  analysis
  addColumn column div mul sub
`);

/** With which a data frame's method changes the frame. */
const inPlace = "inplace";

/** Methods that change what they are called on, which could be called under another name. */
const changing = words(`
  add append clear copyWithin delete fill next pop push reverse set shift sort splice unshift
`);
