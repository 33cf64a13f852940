// The rooms of src/ from the ground up (docs/DESIGN.md): a room imports only itself and the rooms before it.
const rooms = [
  'base',
  'numbers',
  'values',
  'contract',
  'table',
  'att',
  'security',
  'hci',
  'radio',
  'board',
  'budget',
  'proof',
  'capture',
  'ledger',
  'emit',
  'kit',
  'links',
  'cli',
  'page',
];
const pure = rooms.slice(0, rooms.indexOf('links'));

const upward = rooms.map((room, level) => ({
  name: `no-upward-from-${room}`,
  comment: `src/${room} may import only rooms before it`,
  severity: 'error',
  from: { path: `^src/${room}/` },
  to: { path: `^src/(${rooms.slice(level + 1).join('|') || 'none'})/` },
}));

module.exports = {
  forbidden: [
    ...upward,
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'pure-core',
      comment: 'rooms before links/ touch no file, socket or Node API',
      severity: 'error',
      from: { path: `^src/(${pure.join('|')})/`, pathNot: '\\.test\\.ts$' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'tests-are-leaves',
      comment: 'nothing imports a test or the test folder but tests',
      severity: 'error',
      from: { path: '^src/', pathNot: '\\.test\\.ts$' },
      to: { path: '(\\.test\\.ts$|^test/)' },
    },
    {
      name: 'no-unresolved',
      comment: 'but for what the page build itself makes',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true, pathNot: '(^virtual:|[?]raw$)' },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsConfig: { fileName: 'tsconfig.json' },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: { exportsFields: ['exports'], conditionNames: ['import', 'types', 'node', 'default'] },
  },
};
