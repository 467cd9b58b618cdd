import { pino, type DestinationStream } from 'pino';
import type { Log } from '../ports/log.ts';

/** One JSON line for each entry, to standard error: standard output belongs to the address line. */
export const jsonLog = (level: string, to: DestinationStream): Log => {
  const logger = pino({ level, base: null, timestamp: pino.stdTimeFunctions.isoTime }, to);
  return {
    info: (message, facts = {}) => logger.info(facts, message),
    error: (message, error) => logger.error({ err: error }, message),
  };
};
