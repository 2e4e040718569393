import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const SOURCE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** One line for each thing axe-core finds on the page at WCAG 2.2 AA. */
export async function axeProblems(page: Page): Promise<string[]> {
  // Through the debugger, so that the page's content policy stays on.
  await page.evaluate(SOURCE);
  const violations = await page.evaluate(async (rules) => {
    const { axe } = window as unknown as {
      axe: {
        run(
          options: object,
        ): Promise<{ violations: { id: string; nodes: { html: string; failureSummary?: string }[] }[] }>;
      };
    };
    const { violations } = await axe.run({ runOnly: rules, resultTypes: ['violations'] });
    return violations;
  }, RULES);
  return violations.flatMap(({ id, nodes }) =>
    nodes.map(({ html, failureSummary }) => `${id}: ${html.slice(0, 200)} ${failureSummary ?? ''}`),
  );
}
