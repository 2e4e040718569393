/** Calendar dates as text: YYYY, YYYY-MM or YYYY-MM-DD. A date without a day or month is a range of days. */
export type CalendarDate = string;

interface Day {
  readonly year: number;
  readonly month: number;
  readonly day: number;
}

const PATTERN = /^(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?$/;

export const daysInMonth = (year: number, month: number): number => {
  const leap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  return [31, leap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0;
};

/** True for a date that exists in the calendar, at any of the three precisions. */
export const isCalendarDate = (text: string): boolean => {
  const parts = PATTERN.exec(text);
  if (!parts) return false;
  const [, year, month, day] = parts;
  if (Number(year) < 1900) return false;
  if (month === undefined) return true;
  if (Number(month) < 1 || Number(month) > 12) return false;
  return day === undefined || (Number(day) >= 1 && Number(day) <= daysInMonth(Number(year), Number(month)));
};

/** True for a calendar date given to the day. */
export const isFullDate = (text: string): boolean => text.length === 10 && isCalendarDate(text);

const split = (date: CalendarDate): { year: number; month?: number; day?: number } => {
  const year = Number(date.slice(0, 4));
  if (date.length === 4) return { year };
  const month = Number(date.slice(5, 7));
  return date.length === 7 ? { year, month } : { year, month, day: Number(date.slice(8)) };
};

const text = ({ year, month, day }: Day): CalendarDate =>
  `${String(year).padStart(4, '0')}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`;

/** The first day a date can mean: "2021-05" is 2021-05-01. */
export const firstDay = (date: CalendarDate): CalendarDate => {
  const { year, month = 1, day = 1 } = split(date);
  return text({ year, month, day });
};

/** The last day a date can mean: "2021-02" is 2021-02-28. */
export const lastDay = (date: CalendarDate): CalendarDate => {
  const { year, month = 12, day } = split(date);
  return text({ year, month, day: day ?? daysInMonth(year, month) });
};

/** The same day of the month `months` later, or the month's last day where that day does not exist. */
export const addMonths = (date: CalendarDate, months: number): CalendarDate => {
  const { year, month = 1, day = 1 } = split(date);
  const index = year * 12 + (month - 1) + months;
  const target = { year: Math.floor(index / 12), month: (index % 12) + 1 };
  return text({
    ...target,
    day: Math.min(day, daysInMonth(target.year, target.month)),
  });
};

/** Completed calendar months from one full date to a later one: the birthday itself completes the month. */
export const completedMonths = (from: CalendarDate, to: CalendarDate): number => {
  const a = split(from);
  const b = split(to);
  const months = (b.year - a.year) * 12 + ((b.month ?? 1) - (a.month ?? 1));
  const dayReached = (b.day ?? 1) >= Math.min(a.day ?? 1, daysInMonth(b.year, b.month ?? 1));
  return dayReached ? months : months - 1;
};
