/** The arrows of the house. `server/src/<room>` may be imported only by the rooms above it. */
const room = (names) => `^server/src/(${names})/`;
const PURE =
  'evaluation|consensus|comparison|measures|analysis|audit|verify|protocol|bundle|report|media';

/** A room may import these others (itself always). */
const allow = (name, others, reason) => ({
  name: `${name}-looks-only-down`,
  severity: 'error',
  comment: reason,
  from: { path: room(name) },
  to: { path: '^(server|web)/src/', pathNot: room([name, ...others].join('|')) },
});

module.exports = {
  forbidden: [
    { name: 'no-cycles', severity: 'error', from: {}, to: { circular: true } },
    allow('consensus', [], 'statistics know nothing of evaluations'),
    allow('measures', ['consensus'], 'what is measured knows nothing of who rates it'),
    allow('analysis', ['consensus', 'measures'], 'a list of ratings knows no evaluation'),
    allow('comparison', ['consensus'], 'pieces side by side know no evaluation'),
    allow('audit', [], 'the trail knows nothing of what it carries'),
    allow('protocol', ['audit'], 'protocol files are canonical text'),
    allow('evaluation', ['consensus', 'measures'], 'rules rest on figures'),
    allow('media', [], 'bytes of a picture or clip know nothing of who sent them'),
    allow('bundle', ['audit'], 'a bundle is canonical text'),
    allow(
      'report',
      ['evaluation', 'consensus', 'measures', 'analysis', 'audit'],
      'a record is made of state and figures',
    ),
    allow('paper', [], 'paper draws the blocks of a record and knows no evaluation'),
    {
      name: 'verifier-is-independent',
      severity: 'error',
      comment: 'the verifier shares the canonical form with the writer, and nothing else',
      from: { path: room('verify') },
      to: {
        path: '^(server|web)/src/',
        pathNot: `${room('verify')}|^server/src/audit/canonical-json\\.ts$`,
      },
    },
    {
      name: 'pure-rooms-touch-no-machine',
      severity: 'error',
      from: {
        path: room(PURE),
        pathNot: '^server/src/(audit/(sha256|ed25519)|verify/bytes|media/strip-png)\\.ts$',
      },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'pure-rooms-know-no-yjs',
      severity: 'error',
      from: { path: room(PURE) },
      to: { path: 'node_modules/(yjs|y-protocols|y-websocket|lib0|socket\\.io|express|ws)/' },
    },
    allow('ports', [], 'interfaces only'),
    allow('wire', [], 'bytes only'),
    allow('documents', ['wire', 'ports'], 'documents in memory'),
    allow(
      'flows',
      `${PURE}|ports|documents|wire`.split('|'),
      'actions know no sockets and no disk',
    ),
    allow('adapters', ['ports', 'audit'], 'an adapter serves a port'),
    allow('http', `${PURE}|ports|flows`.split('|'), 'requests call flows'),
    allow('realtime', `${PURE}|ports|flows|documents|wire|http`.split('|'), 'sockets call flows'),
    allow('demo', `${PURE}|ports|flows`.split('|'), 'the demonstration acts through flows'),
    {
      name: 'rehearsal-is-a-client',
      severity: 'error',
      comment: 'the rehearsal uses the server as anybody does: over its sockets',
      from: { path: room('rehearse') },
      to: { path: '^(server|web)/src/', pathNot: room('rehearse') },
    },
    {
      name: 'web-and-server-meet-in-shared-types',
      severity: 'error',
      from: { path: '^web/src/' },
      to: { path: '^server/' },
    },
    {
      name: 'shared-types-rest-on-valibot',
      severity: 'error',
      from: { path: '^shared-types/src/' },
      to: { pathNot: '^shared-types/src/|node_modules/valibot/' },
    },
    {
      name: 'components-hold-no-state',
      severity: 'error',
      comment: 'props in, callbacks out; types and pure functions of state files are welcome',
      from: { path: '^web/src/components/' },
      to: { path: '^web/src/(screens|sync)/' },
    },
    {
      name: 'state-knows-no-screens',
      severity: 'error',
      from: { path: '^web/src/(state|sync|format|words)/' },
      to: { path: '^web/src/(screens|components)/' },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      extensions: ['.ts', '.svelte', '.js', '.json'],
      exportsFields: ['exports'],
      conditionNames: ['import', 'svelte', 'default'],
    },
    extraExtensionsToScan: ['.svelte'],
  },
};
