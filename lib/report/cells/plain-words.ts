/** What `isPlain()` lets through, and what it does not. */

const words = (text: string) => new Set(text.trim().split(/\s+/));

/** Code that is gone when it runs. */
export const typesAlone = words(`
  TSInterfaceDeclaration TSTypeAliasDeclaration TSTypeAnnotation TSTypeParameterDeclaration
  TSTypeParameterInstantiation
`);

export const plainNodes = words(`
  ArrayExpression ArrayPattern ArrowFunctionExpression AssignmentPattern AwaitExpression
  BinaryExpression BooleanLiteral CallExpression ConditionalExpression Directive DirectiveLiteral
  EmptyStatement ExpressionStatement File Identifier ImportDeclaration ImportNamespaceSpecifier
  LogicalExpression MemberExpression NewExpression NullLiteral NumericLiteral ObjectExpression
  ObjectPattern ObjectProperty OptionalCallExpression OptionalMemberExpression Program
  RegExpLiteral RestElement SpreadElement StringLiteral TSAsExpression TSNonNullExpression
  TSSatisfiesExpression TemplateElement TemplateLiteral UnaryExpression VariableDeclaration
  VariableDeclarator
`);

export const values = words("undefined NaN Infinity");
export const converting = words("Number String Boolean");
export const collections = words("Map Set");

/** Functions of the language's own objects that give the same for the same, and change nothing. */
export const harmlessOf: ReadonlyMap<string, ReadonlySet<string>> = new Map([
  ["Array", words("from isArray of")],
  ["JSON", words("stringify")],
  ["Math", words("abs cbrt ceil exp floor hypot log log10 log1p log2 max min pow round sign sqrt")],
  ["Number", words("isFinite isInteger isNaN parseFloat parseInt")],
  ["Object", words("entries fromEntries keys values")],
  ["console", words("debug error info log warn")],
]);

/**
 * Methods of texts, lists, collections and the library's own results that change nothing, each with
 * as many arguments as it takes: one more would say on what a function handed over is called.
 */
export const harmless: ReadonlyMap<string, number> = new Map(
  Object.entries({
    0: "flat toLowerCase toReversed toString toUpperCase trim",
    1: "analysis at every filter find findIndex findLast findLastIndex flatMap get has map some " +
      "join repeat split toFixed toSorted",
    2: "endsWith includes indexOf lastIndexOf padEnd padStart reduce replace replaceAll slice " +
      "startsWith with",
    99: "concat",
  }).flatMap(([most, names]) => names.split(" ").map((name) => [name, Number(most)] as const)),
);

/**
 * Names of methods that change what they are called on, or give what is used up by being read, and
 * of the ways round: none may be spelt, as a name or as a text, whatever it is meant for.
 */
export const unsafe = words(`
  add append clear copyWithin delete fill next pop push reverse set shift sort splice
  unshift inplace arguments eval this constructor prototype __proto__ __defineGetter__
  __defineSetter__ __lookupGetter__ __lookupSetter__ apply bind call
`);

/** What the library gives that remembers what it was asked before. */
export const withMemory = words(`
  SeededRandom rematchColumns rematcher resampler shuffledMatches
`);

/** What the library does while others go on: where it is called it is waited for. */
export const asynchronous = words(`
  bootstrapInWorkers bothProcedures commonestIn completedSets contrastsByMethod deidentify display
  displayAll enoughOf enoughToRepeat examineCohort expectedLines frameOf imputeColumns lockFor
  makeCleanCopy measuredBy openAnalysis openStudy otherTable planSha256 readCohort readLock
  recurrenceBetweenVisits repeatedJobs repeatedProcedure studyPaths summaryOf tippingPoint writeLock
`);
