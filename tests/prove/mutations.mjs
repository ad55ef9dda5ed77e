// @ts-check
// How many wrong tokens in lib the tests notice: `npm run prove:mutations -- [seed] [how many] [from number] [to number]`.
//
// A copy of the project carries all the mutations at once, each asleep: `a + b` is `(mutant(7) ? a - b : a + b)`, in lib and in the
// dist built from it. One run of every test file, none awake, tells which files come past which token. Then, for one mutation after
// another, the files that come past it run with it awake, the nearest and quickest first, until one fails. A mutation of the kernel
// is written into its file and compiled when its turn comes; one that does not compile does not count. A mutation is noticed where a test
// fails, or does not come to its end; files beyond ten minutes of a mutation are not tried, and it counts as not noticed.
import { execFileSync, spawn, spawnSync } from "node:child_process";
import { cpSync, existsSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";

const root = fileURLToPath(new URL("../../", import.meta.url));
const [seed = "1", count = "400", first = "0", end = count] = process.argv.slice(2);
const copy = join(root, "out", `mutations-${seed}-${count}`);
const hits = join(copy, "out", "hits");
/** a run that makes no step is stopped by its memory or by the clock [ms] */
const PATIENCE = 60_000;
/** test files of a mutation are tried as long as they take no longer than this with none awake [s] */
const MOST_SECONDS = Number(process.env["MUTANT_SECONDS"] ?? 600);

/** @typedef {{ file: string, start: number, end: number, from: string, to: string, code: string, line: number }} Mutation */

/** What may stand in the place of a token, or nothing. */
const OTHERS = /** @type {Record<string, readonly string[]>} */ ({
  "+": ["-"], "-": ["+"], "*": ["/"], "/": ["*"], "%": ["*"], "**": ["*"], "+=": ["-="], "-=": ["+="], "*=": ["/="], "/=": ["*="],
  "<": ["<=", ">", ">="], "<=": ["<", ">", ">="], ">": [">=", "<", "<="], ">=": [">", "<", "<="], "===": ["!=="], "!==": ["==="],
  "&&": ["||"], "||": ["&&"], "true": ["false"], "false": ["true"], "Math.min": ["Math.max"], "Math.max": ["Math.min"],
  "Math.floor": ["Math.ceil"], "Math.ceil": ["Math.floor"],
});

/**
 * The tokens of a file that can be changed.
 * @param {string} file @param {string} text @returns {{ node: ts.Node, token: ts.Node, from: string, tos: readonly string[] }[]}
 */
function tokensOf(file, text) {
  const source = ts.createSourceFile(file, text, ts.ScriptTarget.Latest, true);
  /** @type {{ node: ts.Node, token: ts.Node, from: string, tos: readonly string[] }[]} */
  const found = [];
  /** @param {ts.Node} node @param {ts.Node} token @param {readonly string[] | undefined} tos */
  const add = (node, token, tos) => { if (tos) found.push({ node, token, from: token.getText(source), tos }); };
  /** @param {ts.Node} node */
  const visit = (node) => {
    if (ts.isTypeNode(node) || ts.isInterfaceDeclaration(node) || ts.isTypeAliasDeclaration(node) || ts.isImportDeclaration(node)) return;
    const text = node.getText(source);
    if (ts.isBinaryExpression(node)) add(node, node.operatorToken, OTHERS[node.operatorToken.getText(source)]);
    else if (ts.isNumericLiteral(node) && !(ts.isPropertyAssignment(node.parent) && node.parent.name === node)) add(node, node, numbersFor(text));
    else if (node.kind === ts.SyntaxKind.TrueKeyword || node.kind === ts.SyntaxKind.FalseKeyword) add(node, node, OTHERS[text]);
    else if (ts.isPrefixUnaryExpression(node) && (text.startsWith("!") || text.startsWith("-"))) add(node, node, [node.operand.getText(source)]);
    else if (ts.isPropertyAccessExpression(node) && ts.isCallExpression(node.parent)) add(node, node, OTHERS[text]);
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

/** @param {string} text @returns {readonly string[] | undefined} */
function numbersFor(text) {
  const number = Number(text.replaceAll("_", ""));
  if (!Number.isFinite(number)) return undefined;
  const near = Number.isInteger(number) ? String(number + 1) : String(1.1 * number);
  return number === 0 ? ["1"] : [near, "0", String(2 * number)];
}

/** Numbers from 0 to 1, the same for the same seed (mulberry32). */
function* drawn() {
  let state = Number(seed) >>> 0;
  for (;;) {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    yield ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  }
}

/** @returns {never} */
function none() {
  throw new Error("mutations: expected one more, got none");
}

/** The project's own files: what the build makes is not among them. */
function tracked() {
  return execFileSync("git", ["ls-files"], { cwd: root, encoding: "utf8" }).trim().split("\n");
}

/** Draws the mutations and writes them, asleep, into the copy. @returns {Mutation[]} */
function mutate() {
  const draw = drawn();
  const next = () => /** @type {number} */ (draw.next().value);
  const files = tracked().filter((file) => file.startsWith("lib/")).map((file) => file.slice("lib/".length))
    .filter((file) => file.endsWith(".ts") && !/^live\/|\.d\.ts$/.test(file)).sort();
  const all = files.flatMap((file) => {
    const text = readFileSync(join(root, "lib", file), "utf8");
    return tokensOf(file, text).map((token) => ({ ...token, file, text }));
  });
  const mutations = /** @type {(Mutation & { node: ts.Node, token: ts.Node })[]} */ ([]);
  for (let left = Math.min(Number(count), all.length); left > 0; left--) {
    // each of those that are left is as likely as another
    const [{ file, node, token, from, tos, text } = none()] = all.splice(Math.floor(next() * all.length), 1);
    const before = text.slice(0, token.getStart()).split("\n");
    const code = (text.split("\n")[before.length - 1] ?? none()).trim();
    const to = tos[Math.floor(next() * tos.length)] ?? none();
    mutations.push({ file, node, token, from, to, start: node.getStart(), end: node.getEnd(), line: before.length, code });
  }
  for (const file of new Set(mutations.map((each) => each.file).filter((each) => !each.startsWith("kernel/")))) {
    const text = readFileSync(join(root, "lib", file), "utf8");
    /** @param {ts.Node} node @returns {string} */
    const write = (node) => {
      const id = mutations.findIndex((each) => each.file === file && each.start === node.getStart() && each.end === node.getEnd() && each.node.kind === node.kind);
      const own = mutations[id];
      const pieces = /** @type {{ node: ts.Node, text: string }[]} */ ([]);
      ts.forEachChild(node, (child) => { pieces.push({ node: child, text: write(child) }); });
      /** @param {ts.Node | null} token @param {string} to */
      const joined = (token, to) => {
        let [out, at] = ["", node.getStart()];
        for (const piece of pieces) {
          out += text.slice(at, piece.node.getStart()) + (piece.node === token ? to : piece.text);
          at = piece.node.getEnd();
        }
        return out + text.slice(at, node.getEnd());
      };
      if (own === undefined) return joined(null, "");
      const isOperator = own.token !== own.node;
      const changed = isOperator ? joined(own.token, own.to) : /^[!-]/.test(own.from) ? (pieces[0] ?? none()).text : own.to;
      return `(mutant(${id}) ? ${changed} : ${joined(null, "")})`;
    };
    const source = mutations.find((each) => each.file === file)?.node.getSourceFile();
    if (!source) continue;
    const up = relative(dirname(join("lib", file)), "lib/mutant.ts");
    const body = text.slice(0, source.getStart()) + write(source) + text.slice(source.getEnd());
    writeFileSync(join(copy, "lib", file), `// @ts-nocheck\nimport { mutant } from "${up.startsWith(".") ? up : `./${up}`}";\n${body}`);
  }
  return mutations.map(({ file, token, from, to, line, code }) => ({ file, start: token.getStart(), end: token.getEnd(), from, to, line, code }));
}

const MUTANT = `// @ts-nocheck
const awake = typeof process === "undefined" ? -1 : Number(process.env.MUTANT ?? -1);
const passed = new Set();
export function mutant(id) {
  if (awake === id) return true;
  if (awake === -1 && typeof process !== "undefined" && !passed.has(id)) {
    passed.add(id);
    const { MUTANT_HITS: folder, MUTANT_FILE: file } = process.env;
    if (folder && file) process.getBuiltinModule("node:fs").appendFileSync(folder + "/" + file, id + "\\n");
  }
  return false;
}
`;

const SETUP = `process.env.MUTANT_FILE = globalThis.__vitest_worker__.filepath.split("/tests/")[1].replaceAll("/", "+");\n`;

/** Every test file alone in its process, so that it passes all that it needs; with a mutation awake the quickest first. */
const config = (/** @type {string} */ base) => `import base from "${base}";
import { BaseSequencer } from "vitest/node";
const order = (process.env.MUTANT_ORDER ?? "").split(",");
class InOrder extends BaseSequencer {
  sort(files) { return files.sort((a, b) => order.indexOf(a.moduleId.split("/tests/")[1]) - order.indexOf(b.moduleId.split("/tests/")[1])); }
}
const asleep = process.env.MUTANT === undefined;
export default { ...base, test: { ...base.test, isolate: asleep, maxWorkers: 1, fileParallelism: false,
  setupFiles: asleep ? ["./mutantSetup.ts"] : [], sequence: asleep ? {} : { sequencer: InOrder } } };
`;

function makeCopy() {
  rmSync(copy, { recursive: true, force: true });
  mkdirSync(copy, { recursive: true });
  for (const name of tracked()) {
    mkdirSync(dirname(join(copy, name)), { recursive: true });
    if (existsSync(join(root, name))) cpSync(join(root, name), join(copy, name));
  }
  symlinkSync(join(root, "node_modules"), join(copy, "node_modules"));
  mkdirSync(hits, { recursive: true });
  writeFileSync(join(copy, "lib/mutant.ts"), MUTANT);
  writeFileSync(join(copy, "mutantSetup.ts"), SETUP);
  writeFileSync(join(copy, "mutant.config.ts"), config("./vitest.config.ts"));
  const mutations = mutate();
  writeFileSync(join(copy, "out/mutations.json"), JSON.stringify(mutations, null, 1));
  const settings = join(copy, "tsconfig.json");
  writeFileSync(settings, readFileSync(settings, "utf8").replace('"isolatedDeclarations": true', '"isolatedDeclarations": false'));
  const built = spawnSync(process.execPath, ["tests/tools/build.mjs"], { cwd: copy, stdio: "inherit" });
  if (built.status !== 0) throw new Error("mutations: the copy could not be built");
}

/**
 * Runs test files, all of them where none are named. In place of a number: that it took too long.
 * @param {readonly string[]} files @param {Record<string, string>} env @param {readonly string[]} more @param {number} patience
 * @returns {Promise<{ status: number | null, out: string }>}
 */
function runTests(files, env, more, patience) {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, ["node_modules/vitest/vitest.mjs", "run", "--config", "mutant.config.ts", ...more, ...files.map((file) => `tests/${file}`)], {
      cwd: copy, env: { ...process.env, NODE_OPTIONS: "--max-old-space-size=1500", NO_COLOR: "1", ...env }, stdio: ["ignore", "pipe", "pipe"], detached: true,
    });
    let out = "";
    child.stdout.on("data", (part) => { out += part; });
    child.stderr.on("data", (part) => { out += part; });
    const clock = setTimeout(() => { if (child.pid !== undefined) process.kill(-child.pid, "SIGKILL"); }, patience);
    child.on("exit", (status) => { clearTimeout(clock); resolve({ status, out }); });
  });
}

/** Which files come past which mutation and how long each takes; files that fail with none awake read lib as text and are left out. */
async function asleep() {
  const kept = join(copy, "out/asleep.json");
  if (existsSync(kept)) return JSON.parse(readFileSync(kept, "utf8"));
  const report = join(copy, "out/asleep-report.json");
  await runTests([], { MUTANT_HITS: hits }, ["--reporter=json", `--outputFile=${report}`], 3_600_000);
  const { testResults } = JSON.parse(readFileSync(report, "utf8"));
  /** @type {Record<string, { seconds: number, passes: number[] }>} */
  const files = {};
  for (const { name, status, startTime, endTime } of testResults) {
    const file = name.split("/tests/")[1];
    const list = join(hits, file.replaceAll("/", "+"));
    const passes = existsSync(list) ? [...new Set(readFileSync(list, "utf8").trim().split("\n").map(Number))] : [];
    if (status === "passed") files[file] = { seconds: (endTime - startTime) / 1000, passes };
    else console.log(`left out, because it fails with no mutation awake: ${file}`);
  }
  writeFileSync(kept, JSON.stringify(files));
  return files;
}

/** Wilson's interval of a share, 95 percent. @param {number} good @param {number} all */
function interval(good, all) {
  const z = 1.959964;
  const [share, half] = [good / all + (z * z) / (2 * all), z * Math.sqrt((good * (all - good)) / all ** 3 + (z * z) / (4 * all * all))];
  return [(share - half) / (1 + (z * z) / all), (share + half) / (1 + (z * z) / all)].map((each) => (100 * each).toFixed(1));
}

/** Whether the tests notice a mutation; null: it does not compile. @param {number} id @param {Mutation} mutation */
async function isNoticed(id, { file, start, end: last, to }) {
  const isKernel = file.startsWith("kernel/");
  const own = `${file.replace(/\.ts$/, "")}.test.ts`;
  const distance = (/** @type {string} */ name) => (name === own ? 0 : dirname(name) === dirname(own) ? 1 : 2);
  let left = MOST_SECONDS;
  const names = Object.entries(files).filter(([name, { passes }]) => (isKernel ? /^(simulate|kernel|works)\//.test(name) : passes.includes(id)))
    .sort(([a, one], [b, other]) => distance(a) - distance(b) || one.seconds - other.seconds)
    .filter(([, { seconds }]) => (left -= seconds) > 0).map(([name]) => name);
  if (names.length === 0) return false;
  const source = join(copy, "lib", file);
  const text = readFileSync(source, "utf8");
  try {
    if (isKernel) {
      writeFileSync(source, text.slice(0, start) + to + text.slice(last));
      const compile = 'import("./tests/tools/compileKernel.mjs").then(({ compileKernel }) => compileKernel())';
      if (spawnSync(process.execPath, ["-e", compile], { cwd: copy }).status !== 0) return null;
    }
    const env = { MUTANT: isKernel ? "-2" : String(id), MUTANT_ORDER: names.join(",") };
    const { status } = await runTests(names, env, ["--bail=1", "--reporter=dot"], PATIENCE + 6000 * (MOST_SECONDS - left));
    return status !== 0;
  } finally {
    if (isKernel) writeFileSync(source, text);
  }
}

if (!existsSync(join(copy, "dist"))) makeCopy();
const files = /** @type {Record<string, { seconds: number, passes: number[] }>} */ (await asleep());
const mutations = /** @type {Mutation[]} */ (JSON.parse(readFileSync(join(copy, "out/mutations.json"), "utf8")));
const equivalents = /** @type {{ file: string, code: string, from: string, to: string, because: string }[]} */ (
  JSON.parse(readFileSync(join(root, "tests/prove/equivalentMutations.json"), "utf8")));
let [noticed, unnoticed, equivalent] = [0, 0, 0];
for (const [id, mutation] of mutations.entries()) {
  if (id < Number(first) || id >= Number(end)) continue;
  const { file, from, to, code, line } = mutation;
  if (equivalents.some((each) => each.file === file && each.code === code && each.from === from && each.to === to)) {
    equivalent++;
    continue;
  }
  const is = await isNoticed(id, mutation);
  if (is === true) noticed++;
  if (is === false) unnoticed++;
  console.log(`${is === null ? "does not compile" : is ? "noticed" : "NOT noticed"} ${id}: lib/${file}:${line} ${from} -> ${to}${is === false ? `: ${code}` : ""}`);
}
const all = noticed + unnoticed;
const [low, high] = interval(noticed, all);
console.log(`${noticed} of ${all} noticed, ${(100 * noticed / all).toFixed(1)} % (95 % interval ${low} to ${high}); ${equivalent} equivalent left out; seed ${seed}`);
