import { fileURLToPath } from 'node:url'
import tseslint from 'typescript-eslint'

const root = fileURLToPath(new URL('..', import.meta.url))

const clock = [
  { selector: "NewExpression[callee.name='Date'][arguments.length=0]", message: 'Take the time from a clock.' },
  { selector: "CallExpression[callee.object.name='Date'][callee.property.name='now']", message: 'Take the time from a clock.' },
]
const pure = [
  { selector: "NewExpression[callee.name='Date']", message: 'Core counts in minutes; dates are local texts or day numbers.' },
  { selector: "CallExpression[callee.name='Date']", message: 'Core counts in minutes.' },
  { selector: "MemberExpression[object.name='Date']", message: 'Core counts in minutes.' },
  { selector: "MemberExpression[object.name='Math'][property.name='random']", message: 'Core draws from a generator that is handed in.' },
]

export default tseslint.config(
  { ignores: ['src/platform/generated/**', 'dist/**', 'node_modules/**'] },
  {
    basePath: root,
    files: ['**/*.ts', '**/*.tsx'],
    extends: [tseslint.configs.recommended],
    languageOptions: { parserOptions: { tsconfigRootDir: root, projectService: true } },
    rules: {
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/no-misused-promises': ['error', { checksVoidReturn: { arguments: false, properties: false } }],
      '@typescript-eslint/await-thenable': 'error',
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/consistent-type-imports': ['error', { fixStyle: 'inline-type-imports', disallowTypeAnnotations: false }],
      '@typescript-eslint/switch-exhaustiveness-check': ['error', { considerDefaultExhaustiveForUnions: true }],
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_', varsIgnorePattern: '^_', ignoreRestSiblings: true }],
      eqeqeq: ['error', 'always', { null: 'ignore' }],
      'no-console': 'error',
      'max-lines': ['error', { max: 400, skipBlankLines: true }],
    },
  },
  { basePath: root, files: ['src/features/**', 'src/app/**', 'views/**'], rules: { 'no-restricted-syntax': ['error', ...clock] } },
  {
    basePath: root,
    files: ['src/core/**'],
    rules: {
      'no-restricted-syntax': ['error', ...pure],
      'no-restricted-globals': ['error', 'process', 'setTimeout', 'setInterval', 'performance', 'fetch', 'Intl', 'crypto'],
    },
  },
  {
    basePath: root,
    files: ['views/**'],
    rules: {
      'no-restricted-syntax': [
        'error',
        ...clock,
        { selector: "JSXAttribute[name.name='dangerouslySetInnerHTML']", message: 'Everything on a page is escaped.' },
        { selector: "JSXAttribute[name.name='style']", message: 'The content policy drops inline style: use a class or an SVG attribute.' },
        { selector: 'JSXAttribute[name.name=/^on[A-Z]/]', message: 'No script in pages: static/ has what little there is.' },
      ],
    },
  },
  { basePath: root, files: ['tests/**'], rules: { 'no-console': 'off' } },
  {
    basePath: root,
    files: ['tests/**'],
    ignores: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
    rules: {
      'no-restricted-syntax': [
        'error',
        {
          selector: ':matches(Program, Program > ExportNamedDeclaration) > VariableDeclaration CallExpression[callee.name=/^(testClub|testDatabase|testBrowser)$/]',
          message: 'Test files of a worker share this module, and the first to end closes it: open it in a function that each file calls.',
        },
      ],
    },
  },
)
