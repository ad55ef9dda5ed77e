import { inspect } from "node:util";
import ts from "typescript";

/** An `@example` of a docstring: the expression and the value written behind `// =>`. */
export interface DocExample {
  readonly line: number;
  readonly expression: string;
  /** null where the example states no value */
  readonly written: string | null;
}

/** All examples in the docstrings of a source text; an example may run over several lines up to its `// =>`. */
export function docExamples(source: string): DocExample[] {
  const found: DocExample[] = [];
  for (const comment of source.matchAll(/\/\*\*[\s\S]*?\*\//g)) {
    for (const tag of comment[0].matchAll(/@example\b([\s\S]*?)(?=^\s*\*\s*@|\*\/)/gm)) {
      const line = source.slice(0, comment.index + tag.index).split("\n").length;
      const text = tag[1]!.replace(/^\s*\* ?/gm, "").trim();
      const parts = /^([\s\S]*?);\s*\/\/ => (.*)/.exec(text);
      found.push({ line, expression: parts?.[1] ?? text, written: parts?.[2]?.trim() ?? null });
    }
  }
  return found;
}

/**
 * Runs an example against exported names and says what is wrong with it, or null. A number has to agree to the digits
 * written: `0.019` stands for 0.0185 to 0.0195, a whole number for itself.
 */
export function exampleFault(example: DocExample, names: Readonly<Record<string, unknown>>): string | null {
  const { expression, written } = example;
  if (written === null) return "expected `expression; // => value`, got no value";
  const parsed = valueNode(written);
  if (parsed === null) return `expected a written value, got ${written}`;
  let got: unknown;
  try {
    // the text is this repository's own documentation
    // eslint-disable-next-line @typescript-eslint/no-implied-eval
    got = (new Function(...Object.keys(names), `"use strict"; return (${expression});`) as (...values: unknown[]) => unknown)(
      ...Object.values(names),
    );
  } catch (error) {
    return `expected ${written}, got ${String(error)}`;
  }
  return agrees(got, parsed) ? null : `expected ${written}, got ${inspect(got, { breakLength: Infinity })}`;
}

/** The written value as a syntax tree, because its digits count; null where it is not one value. */
function valueNode(written: string): ts.Expression | null {
  const file = ts.createSourceFile("value.ts", `(${written})`, ts.ScriptTarget.ES2022, true);
  const statement = file.statements[0];
  if (file.statements.length !== 1 || !statement || !ts.isExpressionStatement(statement)) return null;
  return ts.isParenthesizedExpression(statement.expression) ? statement.expression.expression : null;
}

function agrees(got: unknown, node: ts.Expression): boolean {
  if (ts.isNumericLiteral(node)) return typeof got === "number" && agreesToDigits(got, node.getText());
  if (ts.isPrefixUnaryExpression(node) && node.operator === ts.SyntaxKind.MinusToken && ts.isNumericLiteral(node.operand)) {
    return typeof got === "number" && agreesToDigits(-got, node.operand.getText());
  }
  if (ts.isStringLiteralLike(node)) return got === node.text;
  if (node.kind === ts.SyntaxKind.TrueKeyword) return got === true;
  if (node.kind === ts.SyntaxKind.FalseKeyword) return got === false;
  if (node.kind === ts.SyntaxKind.NullKeyword) return got === null;
  if (ts.isIdentifier(node)) {
    return node.text === "undefined" ? got === undefined : node.text === "Infinity" && got === Infinity;
  }
  if (ts.isArrayLiteralExpression(node)) {
    const items = Array.isArray(got) || got instanceof Float64Array ? Array.from<unknown>(got) : null;
    return items?.length === node.elements.length && node.elements.every((element, i) => agrees(items[i], element));
  }
  if (ts.isObjectLiteralExpression(node) && typeof got === "object" && got !== null) {
    const entries = new Map(Object.entries(got));
    return entries.size === node.properties.length && node.properties.every((property) =>
      ts.isPropertyAssignment(property) && (ts.isIdentifier(property.name) || ts.isStringLiteral(property.name)) &&
      entries.has(property.name.text) && agrees(entries.get(property.name.text), property.initializer));
  }
  return false;
}

function agreesToDigits(got: number, digits: string): boolean {
  const parts = /^(\d+)(?:\.(\d+))?(?:e([+-]?\d+))?$/i.exec(digits);
  if (!parts) return false;
  const value = Number(digits);
  const isWhole = parts[2] === undefined && parts[3] === undefined;
  // half a unit of the last digit; the little more is the rounding of the two numbers themselves
  const halfDigit = isWhole ? 0 : 0.5 * 10 ** (Number(parts[3] ?? 0) - (parts[2]?.length ?? 0));
  return Math.abs(got - value) <= halfDigit + 1e-12 * Math.abs(value);
}
