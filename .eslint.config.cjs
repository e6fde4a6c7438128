// The rules for the page's scripts and the scripts of tests: eslint's recommended ones and a few more.
const js = require("@eslint/js");
const globals = require("globals");

module.exports = [
    // A template, which is JavaScript once its marks are filled in, and stand-ins for the page's files.
    { ignores: ["**/*.template.js", "tests/builder/publish/page_assets/", "build/"] },
    js.configs.recommended,
    {
        files: ["**/*.mjs", "**/*.js"],
        languageOptions: {
            ecmaVersion: 2022,
            sourceType: "module",
            globals: { ...globals.browser, ...globals.node, ...globals.serviceworker },
        },
        rules: {
            "max-len": [
                "error",
                { code: 120, ignoreStrings: true, ignoreTemplateLiterals: true, ignoreComments: true },
            ],
            eqeqeq: "error",
            "no-var": "error",
            "prefer-const": "error",
        },
    },
];
