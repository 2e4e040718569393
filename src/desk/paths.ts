/** The desk's addresses; every link and form goes through here. */
export const paths = {
  list: '/desk',
  undelivered: '/desk/undelivered',
  live: '/desk/live',
  signIn: '/desk/sign-in',
  signOut: '/desk/sign-out',
  first: '/desk/first',
  firstLink: (token: string) => `/desk/first?token=${encodeURIComponent(token)}`,
  people: '/desk/people',
  person: (id: string) => `/desk/people/${encodeURIComponent(id)}`,
  usage: '/desk/usage',
  events: '/desk/events',
  newEvent: '/desk/events/new',
  event: (id: string) => `/desk/events/${encodeURIComponent(id)}`,
  stockCsv: (id: string) => `/desk/events/${encodeURIComponent(id)}/stock.csv`,
  editEvent: (id: string) => `/desk/events/${encodeURIComponent(id)}/edit`,
  arrival: (id: string, arrival: string) =>
    `/desk/events/${encodeURIComponent(id)}/arrivals/${encodeURIComponent(arrival)}`,
  walkIns: (id: string) => `/desk/events/${encodeURIComponent(id)}/walk-ins`,
  come: (id: string) => `/desk/events/${encodeURIComponent(id)}/come`,
  poster: (id: string) => `/desk/events/${encodeURIComponent(id)}/poster`,
  stock: (id: string) => `/desk/events/${encodeURIComponent(id)}/stock`,
  calendar: '/desk/calendar',
  calendarFile: '/desk/calendar.ics',
  /** Outside the desk, since calendars cannot sign in. */
  privateCalendar: (token: string) => `/team-calendar/${token}`,
  reports: '/desk/reports',
  reportCsv: '/desk/reports/export.csv',
  reportJson: '/desk/reports/export.json',
  reportNames: '/desk/reports/names',
  oidc: '/desk/oidc',
  oidcStart: (fields: Readonly<Record<string, string>>) => `/desk/oidc?${new URLSearchParams(fields)}`,
  oidcBack: '/desk/oidc/back',
  kept: '/desk/kept',
  password: '/desk/password',
  passwordLink: (token: string) => `/desk/password?token=${encodeURIComponent(token)}`,
  case: (reference: string) => `/desk/cases/${encodeURIComponent(reference)}`,
  print: (reference: string) => `/desk/cases/${encodeURIComponent(reference)}/print`,
  thread: (reference: string) => `/desk/cases/${encodeURIComponent(reference)}/thread`,
  plan: (reference: string) => `/desk/cases/${encodeURIComponent(reference)}/plan`,
  record: (reference: string) => `/desk/cases/${encodeURIComponent(reference)}/visit`,
  photo: (reference: string, photo: string) => `/desk/cases/${encodeURIComponent(reference)}/photos/${photo}`,
  photoPicture: (reference: string, photo: string) =>
    `/desk/cases/${encodeURIComponent(reference)}/photos/${photo}/picture`,
  photoSmall: (reference: string, photo: string) =>
    `/desk/cases/${encodeURIComponent(reference)}/photos/${photo}/small`,
  takeHome: (reference: string) => `/desk/cases/${encodeURIComponent(reference)}/take-home`,
  asset: (name: string) => `/desk/assets/${name}`,
} as const;

/** Where to go after signing in: one of our own pages, or the list. */
export function returnPath(wanted: string | null): string {
  return wanted !== null && /^\/desk(?:\/(?!\.{1,2}(?:[/?]|$))[\w%.~-]+)*(?:\?[\w%.~=&+*-]*)?$/.test(wanted)
    ? wanted
    : paths.list;
}
