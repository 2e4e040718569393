/** `anyone`: also who is not signed in. `work`: coordinators and technicians. `coordinate`: coordinators. */
export type Needs = 'anyone' | 'look' | 'work' | 'coordinate';

export interface RouteRule {
  readonly needs: Needs;
  /** What the address is about, and the name of its part that says so: only who sees that event may open it. */
  readonly about?: { readonly kind: 'case' | 'event'; readonly part: string };
  /** `data`: asked for by a script, so a refusal is a bare status and no page. */
  readonly answers?: 'page' | 'data';
}

const anEvent = { kind: 'event', part: 'id' } as const;
const aCase = { kind: 'case', part: 'reference' } as const;

/**
 * Who may open what: one line for each route of the desk, by its method and the pattern it was registered with. A route
 * without a line is refused to everybody, and `tests/src/desk/route-rules.test.ts` names it.
 */
export const ROUTE_RULES: Readonly<Record<string, RouteRule>> = {
  'GET /desk/sign-in': { needs: 'anyone' },
  'POST /desk/sign-in': { needs: 'anyone' },
  'POST /desk/sign-out': { needs: 'anyone' },
  'GET /desk/first': { needs: 'anyone' },
  'POST /desk/first': { needs: 'anyone' },
  'GET /desk/password': { needs: 'anyone' },
  'POST /desk/password': { needs: 'anyone' },
  /** Whoever has the link, which nobody can guess. */
  'GET /take-home/:token': { needs: 'anyone' },

  'GET /desk/oidc': { needs: 'anyone' },
  'GET /desk/oidc/back': { needs: 'anyone' },

  'GET /desk/kept': { needs: 'look' },
  'POST /desk/kept': { needs: 'work' },

  'GET /desk': { needs: 'look' },
  'GET /desk/live': { needs: 'look', answers: 'data' },
  'GET /desk/cases/:reference': { needs: 'look', about: aCase },
  'GET /desk/cases/:reference/print': { needs: 'look', about: aCase },
  'GET /desk/cases/:reference/plan': { needs: 'look', about: aCase },
  'GET /desk/cases/:reference/thread': { needs: 'look', about: aCase },
  'POST /desk/cases/:reference/thread': { needs: 'work', about: aCase },
  'GET /desk/cases/:reference/photos/:photo': { needs: 'look', about: aCase },
  'GET /desk/cases/:reference/photos/:photo/picture': { needs: 'look', about: aCase, answers: 'data' },
  'GET /desk/cases/:reference/photos/:photo/small': { needs: 'look', about: aCase, answers: 'data' },
  'POST /desk/cases/:reference/photos/:photo': { needs: 'work', about: aCase },
  'GET /desk/cases/:reference/visit': { needs: 'look', about: aCase },
  'GET /desk/cases/:reference/take-home': { needs: 'look', about: aCase },
  'POST /desk/cases/:reference/take-home': { needs: 'work', about: aCase },
  'POST /desk/cases/:reference/visit': { needs: 'work', about: aCase },

  'GET /desk/events': { needs: 'look' },
  'POST /desk/events': { needs: 'coordinate' },
  'GET /desk/events/new': { needs: 'coordinate' },
  'GET /desk/events/:id': { needs: 'look', about: anEvent },
  'GET /desk/events/:id/poster': { needs: 'look', about: anEvent },
  'POST /desk/events/:id/walk-ins': { needs: 'work', about: anEvent },
  'POST /desk/events/:id/come': { needs: 'work', about: anEvent },
  'GET /desk/events/:id/arrivals/:arrival': { needs: 'work', about: anEvent },
  'POST /desk/events/:id/arrivals/:arrival': { needs: 'work', about: anEvent },
  'GET /desk/events/:id/stock': { needs: 'coordinate', about: anEvent },
  'GET /desk/events/:id/stock.csv': { needs: 'coordinate', about: anEvent },
  'GET /desk/events/:id/edit': { needs: 'coordinate', about: anEvent },
  'POST /desk/events/:id/edit': { needs: 'coordinate', about: anEvent },

  'GET /desk/calendar': { needs: 'work' },
  'POST /desk/calendar': { needs: 'work' },
  'GET /desk/calendar.ics': { needs: 'work' },
  /** Whoever has the link, until it is closed. */
  'GET /team-calendar/:token': { needs: 'anyone' },

  'GET /desk/undelivered': { needs: 'coordinate' },
  'POST /desk/undelivered': { needs: 'coordinate' },
  'GET /desk/reports': { needs: 'look' },
  'GET /desk/reports/export.csv': { needs: 'look' },
  'GET /desk/reports/export.json': { needs: 'look' },
  'POST /desk/reports/names': { needs: 'coordinate' },
  'GET /desk/usage': { needs: 'coordinate' },
  'GET /desk/people': { needs: 'coordinate' },
  'POST /desk/people': { needs: 'coordinate' },
  'GET /desk/people/:id': { needs: 'coordinate' },
  'POST /desk/people/:id': { needs: 'coordinate' },
};

const ASSETS = /^GET \/desk\/assets\/[\w.-]+$/;

/** The rule of a route; null where there is none. HEAD is GET without its answer. */
export function ruleOf(method: string, path: string): RouteRule | null {
  const key = `${method.toUpperCase() === 'HEAD' ? 'GET' : method.toUpperCase()} ${path}`;
  if (ASSETS.test(key)) return { needs: 'anyone' };
  return Object.hasOwn(ROUTE_RULES, key) ? (ROUTE_RULES[key] ?? null) : null;
}
