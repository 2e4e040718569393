import type { Locator, Page } from 'playwright-core';

export interface Presses {
  press(selector: string): Promise<void>;
  named(role: 'link' | 'button' | 'checkbox', name: string | RegExp): Promise<void>;
  within(target: Locator): Promise<void>;
  /** How many there were since it was asked last. */
  count(): number;
}

/** Counts what somebody presses, so that a journey that grows longer is noticed. */
export function presses(page: Page): Presses {
  let count = 0;
  const within = async (target: Locator) => {
    count += 1;
    await target.first().click();
  };
  return {
    within,
    press: (selector) => within(page.locator(selector)),
    named: (role, name) => within(page.getByRole(role, { name })),
    count: () => {
      const so = count;
      count = 0;
      return so;
    },
  };
}
