// Builds the page twice from one source: report.html, one file for the program to fill with answers,
// and live/, for its server. Usage: node build.mjs [FOLDER]
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { build } from 'vite';
import { viteSingleFile } from 'vite-plugin-singlefile';

const out = resolve(process.argv[2] ?? 'dist');
const common = { base: './', configFile: false, logLevel: 'warn' };

/** The policy is part of the page: whatever asks the network is refused by the browser. */
function withPolicy(html, policy) {
  const meta = `<meta http-equiv="Content-Security-Policy" content="${policy}" />`;
  return html.replace('<meta charset="utf-8" />', `<meta charset="utf-8" />\n    ${meta}`);
}

const single = join(out, '.single');
await build({
  ...common,
  plugins: [viteSingleFile({ removeViteModuleLoader: true })],
  build: { target: 'es2022', outDir: single, emptyOutDir: true, chunkSizeWarningLimit: 4000 },
});
let report = readFileSync(join(single, 'index.html'), 'utf8');
// A script may close its own element nowhere but at its end.
const scripts = [...report.matchAll(/<script type="module"[^>]*>([\s\S]*?)<\/script>/g)];
if (scripts.length !== 1) throw new Error(`report.html: one script wanted, ${scripts.length} found`);
const hash = createHash('sha256').update(scripts[0][1]).digest('base64');
report = withPolicy(report, `default-src 'none'; script-src 'sha256-${hash}'; style-src 'unsafe-inline'; img-src data: blob:; base-uri 'none'; form-action 'none'`);
const placeholder = '<script type="application/json" id="answers">{}</script>';
report = report.replace('</noscript>', () => `</noscript>\n    ${placeholder}`);
if (report.split(placeholder).length !== 2) throw new Error('report.html: the place of the answers is missing or there twice');
mkdirSync(out, { recursive: true });
writeFileSync(join(out, 'report.html'), report);
rmSync(single, { recursive: true });

const live = join(out, 'live');
await build({
  ...common,
  build: {
    target: 'es2022', outDir: live, emptyOutDir: true, modulePreload: false, chunkSizeWarningLimit: 4000,
    rollupOptions: { output: { entryFileNames: 'page.js', assetFileNames: 'page[extname]', inlineDynamicImports: true } },
  },
});
const index = join(live, 'index.html');
writeFileSync(index, withPolicy(readFileSync(index, 'utf8'), "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; connect-src 'self'; base-uri 'none'; form-action 'none'"));
