// Accessibility as axe-core checks it.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Page } from 'playwright-core';

/** Faults that axe-core finds. */
export async function axeFaults(page: Page): Promise<string[]> {
  const axe = readFileSync(createRequire(join(process.cwd(), 'package.json')).resolve('axe-core/axe.min.js'), 'utf8');
  await page.evaluate(axe); // into the page by the debugger, past its policy
  return page.evaluate(async () => {
    const found = await (window as unknown as { axe: { run: (o: object) => Promise<{ violations: { id: string; help: string; nodes: { html: string; failureSummary: string }[] }[] }> } }).axe.run({ resultTypes: ['violations'] });
    return found.violations.map((v) => `${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => `${n.html.slice(0, 140)} ${n.failureSummary}`).join(' | ')}`);
  });
}
