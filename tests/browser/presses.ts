import type { Page } from 'playwright-core';

export interface Presses {
  press(selector: string): Promise<void>;
  named(role: 'link' | 'button' | 'checkbox', name: string | RegExp): Promise<void>;
  /** How many there were since it was asked last. */
  count(): number;
}

/** Counts what somebody presses, so that a journey that grows longer is noticed. */
export function presses(page: Page): Presses {
  let count = 0;
  return {
    press: async (selector) => {
      count += 1;
      await page.locator(selector).first().click();
    },
    named: async (role, name) => {
      count += 1;
      await page.getByRole(role, { name }).first().click();
    },
    count: () => {
      const so = count;
      count = 0;
      return so;
    },
  };
}
