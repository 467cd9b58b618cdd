import type { Signer } from '../audit/key-chain.ts';
import type { Bus } from '../ports/bus.ts';
import type { Workspaces } from '../ports/workspaces.ts';
import type { Kept } from './house.ts';

/** Where a server keeps everything, and how it hears of others that do. */
export interface Home {
  workspaces: Workspaces;
  signer: Signer;
  bus: Bus;
  /** Other processes may work on the same store. */
  shared: boolean;
  /** What one workspace is kept in. */
  kept: (workspace: string) => Kept;
  /** Writes a copy of everything into a file; rejects with words where the store cannot do so itself. */
  copyTo: (file: string) => Promise<void>;
  /** Whether the store answers at this moment. */
  reached: () => Promise<boolean>;
  /** What to tell of a start that failed: words where the store is at fault. */
  blame: (error: unknown) => unknown;
  close: () => Promise<void>;
}
