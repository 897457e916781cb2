import js from "@eslint/js";
import tseslint from "typescript-eslint";

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
  {
    files: ["src/**/*.ts", "shared/**/*.ts"],
    ignores: ["src/version.ts"],
    rules: {
      "no-restricted-imports": [
        "error",
        { patterns: [{ group: ["../*"], message: "Across folders by #shared/ or #src/, relative inside one." }] },
      ],
    },
  },
  {
    files: ["**/*.mjs", "**/*.js"],
    languageOptions: { globals: { process: "readonly", console: "readonly", URL: "readonly", Buffer: "readonly" } },
  },
);
