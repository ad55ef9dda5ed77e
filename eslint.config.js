import tseslint from "typescript-eslint";

const nodeGlobals = ["process", "Buffer", "global", "require", "module", "__dirname", "__filename", "setImmediate"];

// what a file of lib does not say
const LIB_SYNTAX = [
  { selector: "TSEnumDeclaration", message: "A union of string literals instead of an enum." },
  { selector: "TSAsExpression > :matches(TSNeverKeyword, TSAnyKeyword).typeAnnotation", message: "A type that is checked, in place of a cast that hides it." },
  { selector: "TSAsExpression > TSAsExpression.expression", message: "A type that is checked, in place of a cast that hides it." },
  { selector: "ExportDefaultDeclaration", message: "A named export: one idea a file, named as its main export." },
  { selector: "ExportAllDeclaration", message: "Named re-exports, so that the surface can be read." },
  {
    selector: "Program > VariableDeclaration[kind='let'], Program > ExportNamedDeclaration > VariableDeclaration[kind='let']",
    message: "No module-level mutable state.",
  },
  {
    selector: "CallExpression[callee.property.name=/^(max|min|push)$/] > SpreadElement",
    message: "A call with each of a long list as an argument overflows the stack: greatestOf, leastOf, or a loop.",
  },
];

// Where a run comes from: an engine's own power or logarithm differs from another's in the last digit, and with it the run.
const SAME_EVERYWHERE = "exp expm1 log log1p log2 log10 pow cbrt hypot sin cos tan asin acos atan atan2 sinh cosh tanh asinh acosh atanh".split(" ");

export default tseslint.config(
  { ignores: ["dist/", "out/", "node_modules/", "lib/kernel/", "lib/simulate/kernelBytes.ts", "lib/simulate/kernelScript.ts"] },
  {
    files: ["lib/**/*.ts", "tests/**/*.ts", "vitest.config.ts"],
    extends: [tseslint.configs.recommendedTypeChecked],
    languageOptions: { parserOptions: { project: "./tests/tsconfig.json", tsconfigRootDir: import.meta.dirname } },
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      "max-len": ["error", {
        code: 140,
        ignoreUrls: true,
        ignoreStrings: true,
        ignoreTemplateLiterals: true,
        ignoreRegExpLiterals: true,
        // a row of a published table stays one row
        ignorePattern: "^[\\s\\w:]*[\\[\\]\\d\\s.,e+-]+$",
      }],
      eqeqeq: "error",
      "prefer-const": "error",
      "no-var": "error",
      "no-restricted-syntax": [
        "error",
        { selector: "TSEnumDeclaration", message: "A union of string literals instead of an enum." },
      ],
      "@typescript-eslint/no-unused-vars": ["error", { argsIgnorePattern: "^_", varsIgnorePattern: "^_" }],
      "@typescript-eslint/consistent-type-imports": ["error", { fixStyle: "separate-type-imports" }],
      // our interfaces hold plain functions; none uses `this`
      "@typescript-eslint/unbound-method": "off",
    },
  },
  {
    files: ["lib/**/*.ts"],
    rules: {
      "no-restricted-syntax": ["error", ...LIB_SYNTAX],
    },
  },
  {
    files: ["lib/{works,ground,rain,runoff,simulate,site,numerics}/**/*.ts"],
    // rain that is drawn, the fill of a sump and what a soil draws up are no part of a run
    ignores: [
      "lib/numerics/draw.ts", "lib/rain/storms/{stochasticRain,placeRain,worldsGreatest}.ts", "lib/works/{basinCapture,sumpFilling,settlingVelocity}.ts",
      "lib/ground/capillaryRise.ts", "lib/site/papers.ts",
    ],
    rules: {
      "no-restricted-syntax": [
        "error", ...LIB_SYNTAX,
        { selector: "BinaryExpression[operator='**']", message: "A product, or a power of lib/numerics/powers.ts: the same in every engine." },
      ],
      "no-restricted-properties": [
        "error", ...SAME_EVERYWHERE.map((property) => ({ object: "Math", property, message: "One of lib/numerics/powers.ts: the same in every engine." })),
      ],
    },
  },
  {
    files: ["lib/**/*.ts"],
    ignores: ["lib/node.ts", "lib/node/**", "lib/command/**"],
    rules: { "no-restricted-globals": ["error", ...nodeGlobals], "no-console": "error" },
  },
);
