import { execFileSync } from 'node:child_process';
import { join } from 'node:path';

/** Tests that start the program find it built: once, before any of them. */
export default (): void => {
  execFileSync(process.execPath, [join(import.meta.dirname, '../../server/bin/build.js')], {
    stdio: 'inherit',
  });
};
