import type { CDPSession } from 'playwright-core';

/** One thing that happened on the way to a screen, milliseconds since the address was entered. */
interface Step {
  at: number;
  what: string;
}

interface Timed {
  requestId: string;
  timestamp: number;
}

const KEPT = 24;

/** The path of an address, shortened to what tells files apart. */
const nameOf = (url: string): string => {
  const { pathname, search } = new URL(url);
  return `${pathname}${search.slice(0, KEPT)}`;
};

/**
 * Writes down what a page asks for and hears while it comes up, by the browser's own network clock: requests, their first
 * and last byte, sockets and their frames. Call before the visit; the answer tells the steps in their order.
 */
export const recordWaterfall = async (cdp: CDPSession): Promise<() => Step[]> => {
  const steps: Step[] = [];
  const names = new Map<string, string>();
  let zero = 0;
  const note = ({ requestId, timestamp }: Timed, what: string): void => {
    zero ||= timestamp;
    const at = Math.round((timestamp - zero) * 1000);
    steps.push({ at, what: `${what} ${names.get(requestId) ?? ''}` });
  };
  await cdp.send('Network.enable');
  cdp.on('Network.requestWillBeSent', (e) => {
    names.set(e.requestId, nameOf(e.request.url));
    note(e, 'ask ');
  });
  cdp.on('Network.responseReceived', (e) => note(e, 'head'));
  cdp.on('Network.loadingFinished', (e) => note(e, `done ${String(e.encodedDataLength)} B`));
  cdp.on('Network.webSocketCreated', (e) => names.set(e.requestId, nameOf(e.url)));
  cdp.on('Network.webSocketWillSendHandshakeRequest', (e) => note(e, 'ask '));
  cdp.on('Network.webSocketHandshakeResponseReceived', (e) => note(e, 'head'));
  const frame = (mark: string) => (e: Timed & { response: { payloadData: string } }) =>
    note(e, `${mark} ${String(e.response.payloadData.length)} B`);
  cdp.on('Network.webSocketFrameSent', frame('  >>'));
  cdp.on('Network.webSocketFrameReceived', frame('  <<'));
  return () => steps.toSorted((a, b) => a.at - b.at);
};
