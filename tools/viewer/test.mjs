// Bundles the browser tests and runs them with node's own test runner.
// Usage: node test.mjs [FOLDER OF THE BUILT PAGE]
import { spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { build } from 'esbuild';

const tests = resolve('../../tests/browser');
const work = resolve('.checks');
mkdirSync(work, { recursive: true });
const entry = readdirSync(tests).filter((f) => f.endsWith('.test.ts')).sort();
await build({
  stdin: { contents: entry.map((f) => `import ${JSON.stringify(join(tests, f))};`).join('\n'), resolveDir: tests },
  bundle: true, platform: 'node', format: 'esm', target: 'node18', logLevel: 'warning',
  packages: 'external', outfile: join(work, 'all.test.mjs'), sourcemap: 'inline',
});
const { status } = spawnSync(process.execPath, ['--enable-source-maps', '--test', ...process.argv.slice(3), join(work, 'all.test.mjs')], {
  stdio: 'inherit', env: { ...process.env, KERBRAY_PAGE: resolve(process.argv[2] ?? 'dist'), KERBRAY_CHECKS: work },
});
process.exit(status ?? 1);
