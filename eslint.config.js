import js from "@eslint/js";
import tseslint from "typescript-eslint";

/**
 * Files of more lines than 300, from before the rule. The list only shrinks: whoever opens one of these files for
 * other reasons finds its second idea, and takes it off.
 */
const longBefore = ["tests/web/devices/devices.test.ts"];

export default tseslint.config(
  { ignores: ["node_modules/", ".build/", ".bench/", "static/scripts/", "data/", "coverage/"] },
  js.configs.recommended,
  ...tseslint.configs.recommended,
  {
    rules: {
      "@typescript-eslint/no-unused-vars": ["error", { argsIgnorePattern: "^_", varsIgnorePattern: "^_" }],
      "@typescript-eslint/consistent-type-imports": "error",
      complexity: ["error", 15],
      "max-len": ["error", { code: 120, ignoreUrls: true }],
      "max-lines": ["error", 300],
      "no-nested-ternary": "error",
    },
  },
  { files: longBefore, rules: { "max-lines": "off" } },
  {
    files: ["**/*.mjs", "**/*.js"],
    languageOptions: { globals: { process: "readonly", console: "readonly", URL: "readonly", Buffer: "readonly" } },
  },
);
