import type { EndedMessage } from '@unhindered/shared-types';
import type { Written } from './document-store.ts';

/** What one server process tells the others. Never what was rated or written: only where to look in the store. */
export type Notice =
  /** A log has further events or another checkpoint. */
  | { kind: 'log'; log: string }
  /** Documents have further updates. */
  | { kind: 'documents'; written: readonly Written[] }
  /** Sessions are over. */
  | { kind: 'ended'; sessions: readonly string[]; why: EndedMessage['why'] }
  /** The seats that have a socket on the telling process, all of them. */
  | { kind: 'online'; seats: readonly string[] };

/** Carries notices between the processes on one store. A notice may be lost: what counts stands in the store. */
export interface Bus {
  /** Tells what changed in one workspace. */
  tell(workspace: string, notice: Notice): void;
  /** Hears what others told of one workspace; `from` names the process. */
  onNotice(workspace: string, hear: (notice: Notice, from: string) => void): void;
  /** One listener for each call. Notices may have been missed: look at the store for everything in use. */
  onGap(lookAgain: () => void): void;
  /** Whether notices are carried at the moment. */
  connected(): boolean;
  close(): Promise<void>;
}
