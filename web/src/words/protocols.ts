import { protocolWords } from './en/protocols.ts';
import { shellWords } from './en/shell.ts';

/** The words of the protocols' screens. */
export const words = { ...shellWords, ...protocolWords };
