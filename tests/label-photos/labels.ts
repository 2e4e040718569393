import { inToCm, lbToKg } from '#shared/units.ts';

export type LabelLanguage = 'en' | 'es' | 'fr';
export const LABEL_LANGUAGES: readonly LabelLanguage[] = ['en', 'es', 'fr'];

/** An invented label: what it looks like, and what is printed on it. */
export interface Label {
  readonly html: string;
  readonly language: LabelLanguage;
  readonly layout: string;
  /** By the paths of `read-label`. */
  readonly truth: Readonly<Record<string, string | number>>;
}

export type Chance = () => number;

/** Numbers from 0 to 1 that a seed settles (mulberry32). */
export function chanceOf(seed: number): Chance {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const pick = <T>(chance: Chance, list: readonly T[]): T => list[Math.floor(chance() * list.length)] as T;
const whole = (chance: Chance, from: number, to: number): number => from + Math.floor(chance() * (to - from + 1));
const two = (n: number): string => String(n).padStart(2, '0');

const MONTHS: Readonly<Record<LabelLanguage, readonly string[]>> = {
  en: [
    'January',
    'February',
    'March',
    'April',
    'May',
    'June',
    'July',
    'August',
    'September',
    'October',
    'November',
    'December',
  ],
  es: [
    'enero',
    'febrero',
    'marzo',
    'abril',
    'mayo',
    'junio',
    'julio',
    'agosto',
    'septiembre',
    'octubre',
    'noviembre',
    'diciembre',
  ],
  fr: [
    'janvier',
    'février',
    'mars',
    'avril',
    'mai',
    'juin',
    'juillet',
    'août',
    'septembre',
    'octobre',
    'novembre',
    'décembre',
  ],
};

interface Dated {
  readonly print: string;
  readonly value: string;
}

function dateOf(chance: Chance, language: LabelLanguage, years: readonly [number, number]): Dated {
  const [year, month, day] = [whole(chance, ...years), whole(chance, 1, 12), whole(chance, 1, 28)];
  const name = MONTHS[language][month - 1] as string;
  const short = `${year}-${two(month)}`;
  return pick<Dated>(chance, [
    { print: `${year}/${two(month)}/${two(day)}`, value: `${short}-${two(day)}` },
    { print: `${year}-${two(month)}-${two(day)}`, value: `${short}-${two(day)}` },
    { print: `${two(month)}/${year}`, value: short },
    { print: `${year}/${two(month)}`, value: short },
    {
      print: language === 'en' ? `${name} ${year}` : language === 'es' ? `${name} de ${year}` : `${name} ${year}`,
      value: short,
    },
    { print: `${name} ${year}`.toUpperCase(), value: short },
    {
      print:
        language === 'en'
          ? `${name.slice(0, 3)} ${day}, ${year}`
          : `${day} ${language === 'es' ? 'de ' : ''}${name} ${language === 'es' ? 'de ' : ''}${year}`,
      value: `${short}-${two(day)}`,
    },
  ]);
}

const W = {
  made: {
    en: ['Date of manufacture', 'Manufactured', 'DOM', 'MFG date', 'Manufactured in'],
    es: ['Fecha de fabricación', 'Fabricado en'],
    fr: ['Date de fabrication', 'Fabriqué le'],
  },
  model: { en: ['Model No.', 'Model', 'Model number'], es: ['Modelo', 'Modelo No.'], fr: ['Modèle', 'Modèle no'] },
  expiry: {
    en: ['Do not use after', 'Expires', 'Expiration date'],
    es: ['No usar después de', 'Fecha de vencimiento'],
    fr: ['Ne pas utiliser après', "Date d'expiration"],
  },
  life: {
    en: ['Useful life: N years', 'Do not use after N years from date of manufacture', 'Service life: N years'],
    es: ['Vida útil: N años', 'No usar después de N años desde la fecha de fabricación'],
    fr: ['Durée de vie utile : N ans', 'Ne pas utiliser plus de N ans après la date de fabrication'],
  },
  'rear-facing': { en: 'Rear-facing', es: 'Orientado hacia atrás', fr: "Orienté vers l'arrière" },
  'forward-facing': { en: 'Forward-facing', es: 'Orientado hacia adelante', fr: "Orienté vers l'avant" },
  booster: { en: 'Belt-positioning booster', es: 'Asiento elevador', fr: "Siège d'appoint" },
  weight: { en: 'Weight', es: 'Peso', fr: 'Poids' },
  height: { en: 'Height', es: 'Estatura', fr: 'Taille' },
  less: { en: 'or less', es: 'o menos', fr: 'ou moins' },
  standard: {
    en: 'This child restraint system conforms to all applicable Federal motor vehicle safety standards.',
    es: 'Este sistema de sujeción infantil cumple con las normas federales de seguridad aplicables.',
    fr: "Cet ensemble de retenue d'enfant est conforme aux normes de sécurité applicables.",
  },
  airBag: {
    en: 'WARNING! DEATH or SERIOUS INJURY can occur. Never place a rear-facing seat in front of an active air bag.',
    es: 'ADVERTENCIA: nunca coloque un asiento orientado hacia atrás frente a una bolsa de aire activa.',
    fr: "AVERTISSEMENT : ne jamais placer un siège orienté vers l'arrière devant un coussin gonflable actif.",
  },
  serial: { en: 'Serial', es: 'Serie', fr: 'Série' },
} as const;

export type Mode = 'rear-facing' | 'forward-facing' | 'booster';

interface Limits {
  readonly mode: Mode;
  readonly lb: readonly [number, number];
  readonly inches: readonly [number, number];
}

const comma = (text: string, language: LabelLanguage): string => (language === 'fr' ? text.replace('.', ',') : text);

/** As labels print both systems: kilograms to the tenth or the half, centimetres whole. */
function weightPrint({ lb: [low, high] }: Limits, language: LabelLanguage, whole: boolean): string {
  const kg = (lb: number) =>
    comma(whole && lb > 20 ? String(Math.round(lbToKg(lb))) : lbToKg(lb).toFixed(1).replace('.0', ''), language);
  return `${low}-${high} lb (${kg(low)}-${kg(high)} kg)`;
}

const sentence = (limits: Limits, language: LabelLanguage): string => {
  const [low, high] = limits.lb;
  const kg = (lb: number) => comma(lbToKg(lb).toFixed(1).replace('.0', ''), language);
  const tall = limits.inches[1];
  const cm = Math.round(inToCm(tall));
  const name = W[limits.mode][language];
  if (language === 'en')
    return `${name}: Use only with children who weigh between ${low} and ${high} pounds (${kg(low)} and ${kg(high)} kg) and whose height is ${tall} inches (${cm} cm) or less.`;
  if (language === 'es')
    return `${name}: Use sólo con niños que pesen entre ${low} y ${high} libras (${kg(low)} y ${kg(high)} kg) y cuya estatura sea de ${tall} pulgadas (${cm} cm) o menos.`;
  return `${name} : Utiliser seulement avec des enfants qui pèsent de ${kg(low)} à ${kg(high)} kg (${low} à ${high} lb) et mesurent ${cm} cm (${tall} po) ou moins.`;
};

function limitsOf(chance: Chance): readonly Limits[] {
  const rear: Limits = {
    mode: 'rear-facing',
    lb: [pick(chance, [4, 5]), pick(chance, [22, 30, 32, 35, 40, 50])],
    inches: [0, pick(chance, [29, 32, 40, 43, 49])],
  };
  const forward: Limits = {
    mode: 'forward-facing',
    lb: [pick(chance, [22, 25, 26, 30]), pick(chance, [40, 50, 65])],
    inches: [0, pick(chance, [49, 52, 57])],
  };
  const booster: Limits = {
    mode: 'booster',
    lb: [pick(chance, [30, 40]), pick(chance, [80, 100, 110, 120])],
    inches: [0, pick(chance, [57, 60, 63])],
  };
  return pick(chance, [[rear], [rear, forward], [rear, forward, booster], [forward, booster], [booster]]);
}

const FONTS = [
  'sans-serif',
  "'Open Sans', sans-serif",
  'serif',
  "'DejaVu Sans Condensed', 'Open Sans', sans-serif",
  "'DejaVu Sans Mono', 'Open Sans', monospace",
];

/** Labels of several layouts, settled by the seed. What they say is invented; how they say it follows 49 CFR 571.213 S5.5.2. */
export function labelOf(seed: number): Label {
  const chance = chanceOf(seed);
  const language = LABEL_LANGUAGES[seed % 3] as LabelLanguage;
  const all = limitsOf(chance);
  const made = dateOf(chance, language, [2012, 2024]);
  const life = whole(chance, 6, 11);
  const expires = chance() < 0.5 ? dateOf(chance, language, [2026, 2032]) : null;
  const withLife = expires === null || chance() < 0.3;
  const model = `${pick(chance, ['KD', 'QX', 'VR', 'TLM', 'ZP'])}${pick(chance, ['-', ''])}${whole(chance, 2346, 9897)}${pick(chance, ['', 'B', 'C', '-2'])}`;
  const layout = ['table', 'statements', 'columns', 'dense'][Math.floor(seed / 3) % 4] as string;
  const rounds = chance() < 0.5;
  const colon = language === 'fr' ? ' : ' : ': ';
  const madeLine = `${pick(chance, W.made[language])}${colon}${made.print}`;
  const modelLine = `${pick(chance, W.model[language])}${pick(chance, [' ', colon])}${model}`;
  const expiryLine = expires && `${pick(chance, W.expiry[language])}${colon}${expires.print}`;
  const lifeLine = withLife ? pick(chance, W.life[language]).replace(/\bN\b/, String(life)) : null;
  const serial = `${W.serial[language]}${colon}${whole(chance, 10_000_000, 99_999_999)}`;
  const heightPrint = ({ inches: [, tall] }: Limits) =>
    `${tall} in (${Math.round(inToCm(tall))} cm) ${W.less[language]}`;
  const p = (text: string | null) => (text ? `<p>${text}</p>` : '');
  const bodies: Readonly<Record<string, string>> = {
    table: `<h1>KESTREL 3</h1>${p(modelLine)}${p(madeLine)}${p(expiryLine)}${p(lifeLine)}<table>${all
      .map(
        (l) =>
          `<tr><th>${W[l.mode][language]}</th><td>${weightPrint(l, language, rounds)}</td><td>${heightPrint(l)}</td></tr>`,
      )
      .join('')}</table>${p(serial)}${p(W.standard[language])}`,
    statements: `${p(W.standard[language])}${all.map((l) => p(sentence(l, language))).join('')}${p(W.airBag[language])}${p(modelLine)}${p(madeLine)}${p(expiryLine)}${p(lifeLine)}`,
    columns: `<div class="cols"><div>${p(modelLine)}${p(serial)}${p(madeLine)}${p(expiryLine)}${p(lifeLine)}</div><div>${all
      .map(
        (l) =>
          `<h2>${W[l.mode][language]}</h2>${p(`${W.weight[language]}${colon}${weightPrint(l, language, rounds)}`)}${p(`${W.height[language]}${colon}${heightPrint(l)}`)}`,
      )
      .join('')}</div></div>${p(W.airBag[language])}`,
    dense: `<h1>TERN</h1><p>${W.airBag[language]} ${all.map((l) => sentence(l, language)).join(' ')} ${W.standard[language]}</p><p>${[modelLine, madeLine, expiryLine, lifeLine].filter(Boolean).join('<br>')}</p>`,
  };
  const truth: Record<string, string | number> = { modelNumber: model, manufactureDate: made.value };
  if (expires) truth.expiryDate = expires.value;
  if (withLife) truth.usefulLifeYears = life;
  for (const { mode, lb, inches } of all) {
    // The French sentence gives the metric figures first; both systems are printed everywhere, and pounds count.
    truth[`modes.${mode}.minWeightKg`] = lbToKg(lb[0]);
    truth[`modes.${mode}.maxWeightKg`] = lbToKg(lb[1]);
    truth[`modes.${mode}.maxHeightCm`] = inToCm(inches[1]);
  }
  const font = pick(chance, FONTS);
  const size = whole(chance, 19, 24);
  const dark = pick(chance, ['#000', '#1a1a1a', '#222']);
  const light = pick(chance, ['#fff', '#fdfbf4', '#fff3c4']);
  const html = `<article lang="${language}" style="font-family:${font};font-size:${size}px;color:${dark};background:${light}">${bodies[layout]}</article>`;
  return { html, language, layout, truth };
}
