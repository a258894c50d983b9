// An agonicd for one test: free loopback port, state in a scratch folder, ended when the test ends.
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export async function startService(program) {
  const scratch = mkdtempSync(join(tmpdir(), 'agonic-page-'));
  const portFile = join(scratch, 'port');
  const child = spawn(program, ['--port', '0', '--port-file', portFile, '--state-dir', join(scratch, 'state')], { stdio: ['ignore', 'ignore', 'pipe'] });
  let said = '';
  child.stderr.on('data', (bytes) => { said += bytes; });
  for (let i = 0; i < 600 && !(existsSync(portFile) && readFileSync(portFile, 'utf8').trim()); i += 1) {
    if (child.exitCode !== null) throw new Error(`agonicd ended: ${said}`);
    await new Promise((later) => setTimeout(later, 50));
  }
  const origin = `http://127.0.0.1:${readFileSync(portFile, 'utf8').trim()}`;
  return {
    origin,
    log: () => said,
    async stop() {
      if (child.exitCode === null) {
        const ended = new Promise((done) => child.once('exit', done));
        child.kill('SIGTERM');
        await ended;
      }
      rmSync(scratch, { recursive: true, force: true });
    },
  };
}
