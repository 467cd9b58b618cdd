/** Words for somebody who typed a code and waits to be let in. */
export const waitingWords = {
  title: 'Almost there',
  waiting: 'The moderator sees that you are here and lets you in. Keep this page open.',
  asks: (panel: string, seat: string) => `You asked for: ${seat}, in “${panel}”.`,
  stop: 'Stop waiting',
  refusedTitle: 'Not let in',
  refused:
    'The moderator did not let this device in. If that surprises you, talk to them: they can give you a new code.',
  overTitle: 'The wait is over',
  over: 'This device waits no longer. Ask the moderator for a new code.',
  again: 'Type another code',
  stopped: {
    title: 'Everyone stop',
    since: (time: string) => `Everyone of this panel has stopped since ${time}.`,
    hold: 'If you are in the room: stop safely. Whoever holds the head keeps holding it until somebody takes over.',
    hurt: 'If somebody is hurt: leave this tool. Follow your emergency plan, the local protocol and medical direction.',
  },
  offline: 'No link to the server at the moment. This page goes on asking.',
};
