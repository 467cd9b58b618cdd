import { plural } from './plural.ts';

/** Words of declarations, panels and invitations. */
export const panelWords = {
  declare: {
    title: 'Declare your interests',
    lead: 'Before the first rating, say what ties you have, of the last 36 months: employment, ownership, royalties, patents, advice, free kit, sponsorship, family.',
    effect:
      'A tie to the maker or a rival takes your ratings out of the consensus; a tie to a tool takes them out of the tasks that use it. You may still rate, and your ratings are shown.',
    none: 'I have no such ties',
    some: 'I have ties',
    add: 'Add a tie',
    remove: 'Remove',
    kinds: {
      maker: 'To the maker of a piece under review',
      rival: 'To a rival maker',
      tool: 'To a tool used in the protocol (making or selling it)',
      task: 'I designed an item of the protocol',
    },
    which: 'Which',
    detail: 'What the tie is',
    familiarity: 'How well do you know this kind of piece?',
    levels: {
      none: 'Not at all',
      seen: 'Seen it',
      handled: 'Handled it',
      daily: 'Work with it daily',
    },
    send: 'Declare',
    done: 'Declared',
  },
  home: {
    title: 'Panels',
    empty: 'No panel yet. A panel holds the people and the evaluations of one day or season.',
    make: 'Make a panel',
    name: 'Title of the panel',
    occasion: 'Day or season',
    moderator: 'Your name, as its moderator',
    count: (n: number) => plural(n, 'evaluation', 'evaluations'),
  },
  panel: {
    seats: 'Seats',
    invite: 'Invite',
    role: 'Role',
    label: 'Note for yourself (stays on record: no names)',
    byCode: 'With a code, in the room, for ten minutes',
    byLink: 'With a link, far away, until a date',
    until: 'Link works until',
    makeCode: 'Make the invitation',
    invited: 'Invitation',
    scan: 'Scan with the phone’s camera, or type the code at the address below.',
    typeThere: (address: string) => `On the other device open ${address} and type this code:`,
    expires: (time: string) => `Works until ${time}.`,
    open: 'Let in at once whoever types it',
    openHint: 'Otherwise you see who typed the code here, and let them in or turn them away.',
    arrivals: {
      title: 'At the door',
      lead: 'They typed a code and see nothing yet. Let in whom you know to be there.',
      asks: {
        seat: 'takes a seat',
        device: 'adds a device',
        move: 'moves to this device: their others are signed out',
      },
      since: (time: string) => `since ${time}`,
      admit: 'Let in',
      refuse: 'Turn away',
    },
    guessing: {
      title: 'Wrong codes were tried',
      everybody: (time: string) =>
        `So many wrong codes were typed that this server takes no typed codes until ${time}.`,
      source: (n: number, time: string) =>
        `${plural(n, 'network address', 'network addresses')} typed too many wrong codes; the last one is shut out until ${time}.`,
      past: (n: number, time: string) =>
        `${n > 0 ? plural(n, 'network address', 'network addresses') : 'Many network addresses together'} typed too many wrong codes, last at ${time}. Codes are taken again.`,
      means:
        'It may be somebody misreading a code, or somebody guessing. Links and scanned codes go on working, and nobody who is in is thrown out.',
      reopen: 'Take typed codes again now',
    },
    server: {
      title: (n: number) =>
        `What happened to the server: ${plural(n, 'notice', 'notices')} of the last day`,
      'ended-uncleanly':
        'The server started after it had ended without being stopped. What was shown as saved is there.',
      restored:
        'A backup was put in the place of the store. What came after the backup is gone from here; devices that saw more say so.',
      clock: (ms: number, running: boolean) => {
        const hours = Math.abs(ms) / 3_600_000;
        const span =
          hours < 2
            ? plural(Math.max(1, Math.round(hours * 60)), 'minute', 'minutes')
            : plural(Math.round(hours), 'hour', 'hours');
        const way = ms < 0 ? 'back' : 'forward';
        return running
          ? `The machine’s clock was set ${way} by ${span}, or the machine slept. Nobody is signed out by it. Codes and links may run out sooner or later than they say: make new ones.`
          : `The machine’s clock had been set ${way} by ${span} before the start. Times on record around it are not sure; their order is.`;
      },
      means:
        'This stands in the record of every evaluation that was under way, and in its signed file.',
    },
    state: {
      offered: 'waiting to be taken',
      waiting: 'somebody waits to be let in',
      taken: 'seated',
      revoked: 'ended',
    },
    learning: 'My ratings over time',
    learningOf: 'Ratings over time',
    practise: 'Practise on a locked evaluation',
    protocolPage: 'How the protocol does',
    online: 'here now',
    paper: 'rated on paper, nobody sits here',
    offline: 'not connected',
    declared: 'declared',
    undeclared: 'no declaration yet',
    newCode: 'New code',
    again: 'Code for one more device',
    move: 'Move to another device',
    moveHint:
      'Let your sheet say “saved” first: this device is signed out when the other one uses the code.',
    ended: 'Ended seats',
    erase: 'Erase the name',
    eraseTitle: (who: string) => `Erase the name “${who}”?`,
    eraseLead:
      'The name is forgotten here and in every record exported from now on; the record keeps the letter and still verifies. Backups and records made before still hold it. This cannot be undone.',
    erased: 'name erased',
    revoke: 'End this seat',
    revokeReason: 'Why this seat ends',
    evaluations: 'Evaluations',
    noEvaluation: 'No evaluation yet. Make one when the specimen is on the bench.',
    noneToSee: 'No evaluation yet. The moderator makes one when the specimen is on the bench.',
    create: 'Make an evaluation',
    protocol: 'Protocol',
    specimen: 'Specimen',
    fields: {
      kind: 'Kind',
      sport: 'Sport',
      maker: 'Maker',
      model: 'Model',
      year: 'Model year',
      size: 'Size',
      serial: 'Serial number',
      condition: 'Condition and age',
      fastening: 'Fastening hardware',
      suppliedBy: 'Supplied by',
    },
    kinds: {
      helmet: 'Helmet',
      pads: 'Shoulder pads',
      torso: 'Torso protector',
      combined: 'Combined kit',
      other: 'Other',
    },
    desk: 'Desk',
    sheet: 'My sheet',
    wall: 'Wall',
    record: 'Record',
    publish: 'Publish or correct',
    watch: 'Follow',
    trials: 'Trials',
    plan: 'Plan the day',
    fit: 'Fit check',
    addDevice: 'Add a device of mine',
  },
};
