/**
 * Who may import whom (DEVELOPERS.md has the same as a table). Types count: an import for its type alone is seen too, except where a rule says otherwise.
 */
const FEATURES = ['members', 'stores', 'sessions', 'builds', 'planning', 'reviews']
const CORE = {
  // Each part of core may use these parts and itself.
  units: [],
  calendar: ['units'],
  cure: ['units', 'calendar'],
  schedule: ['units', 'calendar', 'cure'],
  forecast: ['units', 'calendar', 'cure', 'schedule'],
  estimate: ['units'],
  stock: ['units'],
}
const GENERATED = '^src/platform/generated/'

const coreRules = Object.entries(CORE).map(([part, below]) => ({
  name: `core-${part}-downward`,
  comment: `core/${part} uses ${['itself', ...below].join(', ')} and nothing else`,
  severity: 'error',
  from: { path: `^src/core/${part}/` },
  to: { pathNot: `^src/core/(${[part, ...below].join('|')})/|^src/core/result[.]ts$` },
}))

const featureRules = FEATURES.map((feature, at) => ({
  name: `feature-${feature}-others`,
  comment: `features/${feature} sees of other features only public.ts, and only of those before it`,
  severity: 'error',
  from: { path: `^src/features/${feature}/` },
  to: {
    path: '^src/features/',
    pathNot: [`^src/features/${feature}/`, ...FEATURES.slice(0, at).map((earlier) => `^src/features/${earlier}/public[.]tsx?$`)],
  },
}))

const viewRules = FEATURES.map((feature) => ({
  name: `views-${feature}-others`,
  comment: `views/${feature} uses its own views, the shared ones, types of its feature and core`,
  severity: 'error',
  from: { path: `^views/${feature}/` },
  to: { path: '^(views|src)/', pathNot: [`^views/(${feature}|shared)/`, `^src/features/${feature}/`, '^src/core/'] },
}))

module.exports = {
  forbidden: [
    { name: 'no-circles', severity: 'error', from: { pathNot: GENERATED }, to: { circular: true, pathNot: GENERATED, viaOnly: { dependencyTypesNot: ['type-only'] } } },
    { name: 'not-resolvable', severity: 'error', from: { pathNot: GENERATED }, to: { couldNotResolve: true } },
    {
      name: 'core-is-pure',
      severity: 'error',
      from: { path: '^src/core/' },
      to: { pathNot: '^src/core/' },
    },
    ...coreRules,
    {
      name: 'platform-stays-below',
      severity: 'error',
      from: { path: '^src/platform/', pathNot: GENERATED },
      to: { path: '^(src|views|prisma|tests)/', pathNot: '^src/platform/|^src/core/(units|calendar)/|^src/core/result[.]ts$|^views/shared/' },
    },
    ...featureRules,
    {
      name: 'features-not-app',
      severity: 'error',
      from: { path: '^src/features/' },
      to: { path: '^src/(app/|main[.]ts)|^tests/|^prisma/' },
    },
    {
      name: 'features-own-views',
      severity: 'error',
      from: { path: '^src/features/([^/]+)/' },
      to: { path: '^views/', pathNot: '^views/($1|shared)/' },
    },
    {
      name: 'database-from-queries-and-commands',
      comment: 'Only queries, commands and public.ts touch the database; its types are free, and so are the names of its enums.',
      severity: 'error',
      from: { path: '^src/features/', pathNot: '^src/features/[^/]+/(queries|commands|public|plan-?job|jobs?)([.]ts$|/)' },
      to: { path: '^src/platform/(database[.]ts|generated/)', pathNot: '^src/platform/generated/enums[.]ts$', dependencyTypesNot: ['type-only'] },
    },
    {
      name: 'views-of-features-only-types',
      severity: 'error',
      from: { path: '^views/' },
      to: { path: '^src/features/', dependencyTypesNot: ['type-only'] },
    },
    { name: 'views-not-platform', severity: 'error', from: { path: '^views/' }, to: { path: '^src/(platform|app)/' } },
    { name: 'views-no-node', severity: 'error', from: { path: '^views/' }, to: { dependencyTypes: ['core'] } },
    { name: 'shared-views-alone', severity: 'error', from: { path: '^views/shared/' }, to: { path: '^(views|src)/', pathNot: '^views/shared/|^src/core/' } },
    ...viewRules,
    { name: 'nothing-imports-tests', severity: 'error', from: { path: '^(src|views|prisma)/' }, to: { path: '^tests/' } },
    { name: 'nobody-imports-main', severity: 'error', from: {}, to: { path: '^src/main[.]ts$' } },
    {
      name: 'nothing-from-development-packages',
      severity: 'error',
      from: { path: '^(src|views)/' },
      to: { dependencyTypes: ['npm-dev', 'npm-no-pkg', 'npm-unknown'], dependencyTypesNot: ['type-only'] },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'node', 'default', 'types'], extensions: ['.ts', '.tsx', '.js', '.json'] },
  },
}
