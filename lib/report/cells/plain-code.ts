import traverse, { type NodePath } from "@babel/traverse";
import { parsedCell } from "./parsed-cell.ts";
import {
  asynchronous,
  collections,
  converting,
  harmless,
  harmlessOf,
  plainNodes,
  typesAlone,
  unsafe,
  values,
  withMemory,
} from "./plain-words.ts";

/**
 * Whether code cells do nothing but name values and show them: whatever a cell gives then follows
 * from its own code and from the code of the names it takes, and from nothing that another cell
 * did. Of the language only what is known to be so is let through: constants, expressions, short
 * functions, and methods that change nothing. What is asynchronous is awaited where it is called.
 */
export function isPlain(cells: readonly string[]): boolean {
  const files = cells.map(parsedCell);
  const known = files.filter((file) => file !== undefined);
  if (known.length < files.length) return false;
  const names: Names = { given: new Set(), library: new Set() };
  let plain = true;
  for (const file of known) {
    traverse(file, {
      Program(program) {
        for (const [name, { path }] of Object.entries(program.scope.bindings)) {
          if (names.given.has(name)) plain = false; // two cells give it
          names.given.add(name);
          if (path.isImportNamespaceSpecifier()) names.library.add(name);
        }
      },
    });
  }
  for (const file of known) {
    traverse(file, {
      enter(path) {
        if (typesAlone.has(path.node.type) || path.key === "typeAnnotation") path.skip();
        else if (!isPlainNode(path, names)) {
          plain = false;
          path.stop();
        }
      },
    });
  }
  return plain;
}

interface Names {
  /** What the cells themselves give. */
  given: Set<string>;
  /** What stands for the whole library among it. */
  library: Set<string>;
}

function isPlainNode(path: NodePath, names: Names): boolean {
  if (!plainNodes.has(path.node.type)) return false;
  if (path.isImportDeclaration()) {
    const { source, importKind, specifiers } = path.node;
    return source.value === "mitral" && importKind !== "type" &&
      specifiers.every(({ type }) => type === "ImportNamespaceSpecifier");
  }
  if (path.isVariableDeclaration()) return path.node.kind === "const" && !path.node.declare;
  if (path.isUnaryExpression()) return path.node.operator !== "delete";
  if (path.isArrowFunctionExpression()) return isPlainFunction(path, names);
  if (path.isRegExpLiteral()) return !path.node.flags.includes("y");
  if (path.isStringLiteral()) return isPlainText(path.node.value);
  if (path.isTemplateElement()) return isPlainText(path.node.value.raw);
  if (path.isNewExpression()) {
    const { callee } = path.node;
    return callee.type === "Identifier" && collections.has(callee.name);
  }
  if (path.isCallExpression() || path.isOptionalCallExpression()) return isPlainCall(path, names);
  if (path.isMemberExpression() || path.isOptionalMemberExpression()) {
    return !path.node.computed || plainKeys.has(path.node.property.type);
  }
  if (path.isObjectProperty()) return isPlainProperty(path);
  return !path.isIdentifier() || isPlainName(path, names);
}

/** A text that is no unsafe name, and no id of the warnings that a run shows once. */
function isPlainText(text: string): boolean {
  return !unsafe.has(text) && !/^warning-[0-9a-f]{8}$/.test(text);
}

/** What is taken out by its name; or what is put in, but for a method under another's name. */
function isPlainProperty(path: NodePath): boolean {
  if (!path.isObjectProperty()) return false;
  const { computed, key, value } = path.node;
  if (path.parentPath.isObjectPattern()) return !computed && key.type === "Identifier";
  const isTaken = value.type === "MemberExpression" && value.computed;
  return !isTaken || computed || key.type !== "Identifier" || !harmless.has(key.name);
}

/** What picks a part of a value without spelling the name of a method. */
const plainKeys = new Set(["Identifier", "MemberExpression", "NumericLiteral"]);

/** A function that is one expression, and gives no new meaning to a name that is known here. */
function isPlainFunction(path: NodePath, { library }: Names): boolean {
  if (!path.isArrowFunctionExpression()) return false;
  return !path.node.async && path.node.body.type !== "BlockStatement" &&
    Object.keys(path.scope.bindings).every((name) => !library.has(name) && !isKnown(name));
}

/** Whether a name means something in the language, which nothing in the cells may replace. */
function isKnown(name: string): boolean {
  return values.has(name) || collections.has(name) || converting.has(name) || harmlessOf.has(name);
}

/**
 * A name that spells nothing unsafe, and where it takes a value, one that the cells give; or a part
 * of the language, or the library, used as it should be.
 */
function isPlainName(path: NodePath, names: Names): boolean {
  if (!path.isIdentifier()) return false;
  const { name } = path.node;
  if (unsafe.has(name) || withMemory.has(name)) return false;
  if (asynchronous.has(name) && !isAwaited(path)) return false;
  if (!path.isReferencedIdentifier()) return true;
  // the library is not passed on: what is called of it is seen
  if (names.library.has(name)) return isPicked(path) || isTakenApart(path);
  if (isKnown(name)) return !names.given.has(name) && isKnownUse(path, name);
  return names.given.has(name) || path.scope.hasBinding(name, { noGlobals: true });
}

function isKnownUse(path: NodePath, name: string): boolean {
  const { parentPath, key } = path;
  if (values.has(name)) return true;
  if (collections.has(name)) return key === "callee" && parentPath?.isNewExpression() === true;
  if (harmlessOf.has(name) && isPicked(path) && parentPath?.key === "callee") return true;
  return converting.has(name) && key === "callee" && parentPath?.isCallExpression() === true;
}

/** Whether a name stands before a dot. */
function isPicked(path: NodePath): boolean {
  const { parentPath, key } = path;
  return key === "object" && parentPath?.isMemberExpression() === true && !parentPath.node.computed;
}

/** Whether a name stands behind `const { … } =`. */
function isTakenApart(path: NodePath): boolean {
  const { parentPath, key } = path;
  if (key !== "init" || !parentPath?.isVariableDeclarator()) return false;
  const { id } = parentPath.node;
  return id.type === "ObjectPattern" &&
    id.properties.every((one) => one.type === "ObjectProperty" && one.value.type === "Identifier");
}

function isPlainCall(path: NodePath, { given, library }: Names): boolean {
  if (!path.isCallExpression() && !path.isOptionalCallExpression()) return false;
  const { callee, arguments: handed } = path.node;
  if (callee.type === "Identifier") return true;
  if (callee.type !== "MemberExpression" && callee.type !== "OptionalMemberExpression") {
    return false;
  }
  const { object, property, computed } = callee;
  if (computed || property.type !== "Identifier") return false;
  const { name } = property;
  if (object.type === "Identifier") {
    if (library.has(object.name)) return true;
    const own = given.has(object.name) ? undefined : harmlessOf.get(object.name);
    if (own) return own.has(name);
  }
  const most = harmless.get(name) ?? -1;
  return handed.length <= most && handed.every(({ type }) => type !== "SpreadElement");
}

/** Whether a name stands where its function is called and waited for. */
function isAwaited(name: NodePath): boolean {
  const member = name.parentPath;
  if (!member?.isMemberExpression() || name.key !== "property") return false;
  const call = member.parentPath;
  return call.isCallExpression() && member.key === "callee" &&
    call.parentPath.isAwaitExpression();
}
