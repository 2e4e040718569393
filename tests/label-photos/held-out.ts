import { inToCm, lbToKg } from '#shared/units.ts';
import { chanceOf, LABEL_LANGUAGES, type Label, type LabelLanguage, type Mode } from './labels.ts';

/**
 * Labels that no rule and no figure of the reader was set by: other layouts, words, forms of dates, fonts and limits than
 * those of `labels.ts`. Whoever changes the reader for one of them makes new ones.
 */

const two = (n: number): string => String(n).padStart(2, '0');

const WORDS = {
  en: {
    'rear-facing': 'REAR-FACING USE',
    'forward-facing': 'FORWARD-FACING WITH HARNESS',
    booster: 'BOOSTER MODE',
    made: 'Date of Manufacture',
    expiry: 'Do Not Use This Child Restraint After',
    model: 'Model Number',
    childs: 'Child weight',
    tall: 'Child height up to',
    months: ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'],
    aircraft: 'This restraint is certified for use in motor vehicles and aircraft.',
    follow: 'Follow all instructions on this child restraint and in the written instructions.',
    life: 'Lifespan: N years',
  },
  es: {
    'rear-facing': 'ORIENTADO HACIA ATRÁS',
    'forward-facing': 'ORIENTADO HACIA DELANTE',
    booster: 'ASIENTO ELEVADOR',
    made: 'Fecha de manufactura',
    expiry: 'No utilizar después de',
    model: 'Número de modelo',
    childs: 'Peso del niño',
    tall: 'Estatura del niño hasta',
    months: ['ene', 'feb', 'mar', 'abr', 'may', 'jun', 'jul', 'ago', 'sep', 'oct', 'nov', 'dic'],
    aircraft: 'Este asiento está certificado para usarse en vehículos y aviones.',
    follow: 'Siga todas las instrucciones de este asiento y las escritas en el manual.',
    life: 'Vida útil: N años',
  },
  fr: {
    'rear-facing': "VERS L'ARRIÈRE",
    'forward-facing': "VERS L'AVANT",
    booster: 'REHAUSSEUR',
    made: 'Date de fabrication',
    expiry: 'Ne pas utiliser après le',
    model: 'Modèle no',
    childs: "Poids de l'enfant",
    tall: "Taille de l'enfant jusqu'à",
    months: ['janv', 'févr', 'mars', 'avr', 'mai', 'juin', 'juil', 'août', 'sept', 'oct', 'nov', 'déc'],
    aircraft: "Cet ensemble est homologué pour l'automobile et l'avion.",
    follow: "Suivre toutes les directives de cet ensemble et celles du manuel d'utilisation.",
    life: 'Durée de vie utile : N ans',
  },
} as const;

const STYLES = [
  "font-family:'DejaVu Serif Condensed','DejaVu Serif',serif;letter-spacing:.4px",
  "font-family:'DejaVu Sans','Open Sans',sans-serif;font-weight:bold",
  "font-family:'Open Sans',sans-serif;letter-spacing:-.2px",
  "font-family:'DejaVu Serif',serif;font-style:italic",
];

/** A held-out label, settled by the seed. */
export function heldOutLabelOf(seed: number): Label {
  const chance = chanceOf(seed ^ 0x2545f491);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(chance() * list.length)] as T;
  const whole = (from: number, to: number): number => from + Math.floor(chance() * (to - from + 1));
  const language = LABEL_LANGUAGES[Math.floor(seed / 2) % 3] as LabelLanguage;
  const words = WORDS[language];
  const date = (years: readonly [number, number]) => {
    const [year, month, day] = [whole(...years), whole(1, 12), whole(1, 28)];
    const name = words.months[month - 1] as string;
    return pick([
      { print: `${day} ${name} ${year}`, value: `${year}-${two(month)}-${two(day)}` },
      { print: `${year} ${name.toUpperCase()} ${two(day)}`, value: `${year}-${two(month)}-${two(day)}` },
      { print: `${two(month)}-${year}`, value: `${year}-${two(month)}` },
      { print: `${year}.${two(month)}.${two(day)}`, value: `${year}-${two(month)}-${two(day)}` },
    ]);
  };
  const all = pick<readonly (readonly [Mode, number, number, number])[]>([
    [
      ['rear-facing', 5, pick([33, 38, 44]), pick([35, 42, 48])],
      ['forward-facing', pick([24, 28]), pick([55, 60]), pick([50, 54])],
    ],
    [['rear-facing', 4, pick([24, 33]), pick([30, 31])]],
    [['booster', pick([35, 45]), pick([90, 115]), pick([56, 61])]],
  ]);
  const [made, expires, life] = [date([2013, 2025]), date([2027, 2034]), whole(7, 10)];
  const model = `${pick(['MB', 'HRT', 'W'])}${whole(234, 987)}${pick(['/A', 'K', ''])}`;
  const kg = (pounds: number): string => {
    const text = lbToKg(pounds).toFixed(1);
    return language === 'fr' ? text.replace('.', ',') : text;
  };
  const metricFirst = language === 'fr';
  const weight = (low: number, high: number): string =>
    metricFirst
      ? `${kg(low)} - ${kg(high)} kg / ${low} - ${high} lb`
      : `${low} – ${high} lbs / ${kg(low)} – ${kg(high)} kg`;
  const height = (inches: number): string => {
    const cm = Math.round(inToCm(inches));
    return metricFirst ? `${cm} cm / ${inches} po` : `${inches} in. / ${cm} cm`;
  };
  const limits = all.map(([mode, low, high, tall]) => ({
    name: words[mode],
    weight: `${words.childs}: ${weight(low, high)}`,
    height: `${words.tall} ${height(tall)}`,
  }));
  const withLife = chance() < 0.5;
  const dates = [
    `${words.made}: ${made.print}`,
    withLife ? words.life.replace('N', String(life)) : `${words.expiry}: ${expires.print}`,
  ];
  const layout = seed % 2 === 0 ? 'boxes' : 'list';
  const body =
    layout === 'boxes'
      ? `<p>${words.follow}</p>${limits.map((l) => `<div style="border:2px solid;padding:10px 14px;margin:8px 0"><b>${l.name}</b><br>${l.weight}<br>${l.height}</div>`).join('')}<p>${dates.join('<br>')}</p><p>${words.model}: ${model}</p>`
      : `<p style="text-align:center">${dates.join(' &nbsp; • &nbsp; ')}</p><ul>${limits.map((l) => `<li>${l.name}: ${l.weight}. ${l.height}.</li>`).join('')}</ul><p>${words.aircraft}</p><p>${words.model} ${model}</p>`;
  const truth: Record<string, string | number> = { modelNumber: model, manufactureDate: made.value };
  if (withLife) truth.usefulLifeYears = life;
  else truth.expiryDate = expires.value;
  for (const [mode, low, high, tall] of all) {
    truth[`modes.${mode}.minWeightKg`] = lbToKg(low);
    truth[`modes.${mode}.maxWeightKg`] = lbToKg(high);
    truth[`modes.${mode}.maxHeightCm`] = inToCm(tall);
  }
  const html = `<article lang="${language}" style="${pick(STYLES)};font-size:${whole(18, 23)}px;color:#111;background:${pick(['#fff', '#f4f4f0', '#e8f1fb'])}">${body}</article>`;
  return { html, language, layout: `held-out ${layout}`, truth };
}
