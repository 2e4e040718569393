import { chosenIn } from './choosing.ts';
import type { IntakeContext } from './intake-context.ts';
import { inLanguage, just, type Part } from './interpretation.ts';
import { LANGUAGES, type Language } from './understanding/types.ts';

/** Tags on offer in `choosingLanguage`: the language offered and the present one, or all. */
export const languagesOffered = ({ offered, language }: IntakeContext): readonly Language[] =>
  offered ? [offered.language, language] : LANGUAGES;

/** A wish to go on in another language, by its name, its tag or its place in the list. */
export const switchLanguage: Part = ({ context, value }, message, { values }) => {
  const choosing = value === 'choosingLanguage';
  const tags = languagesOffered(context);
  const typed = choosing
    ? chosenIn(message.choiceIds[0] ?? message.text, { choices: tags, many: false, numeric: false })?.[0]
    : undefined;
  const wanted = values.language ?? (typed as Language | undefined);
  if (!wanted || (wanted === context.language && !choosing)) return null;
  return context.offered?.language === wanted
    ? inLanguage(wanted, context.offered.text)
    : just({ type: 'LANGUAGE', language: wanted });
};

/** An answer to the offer, or any words whose language can be told. */
export const choosingLanguage: Part = (standing, message, reading, ears) => {
  const { offered, language: current } = standing.context;
  if (offered) {
    const { language } = offered;
    // Whoever writes in a language agrees in it too.
    const inIt = ears.read({ language, asked: 'yes-no', text: message.text, context: {} });
    const answers = [reading.values.answer, inIt.values.answer ?? (inIt.intent === 'unsure' ? 'unsure' : undefined)];
    if (answers.includes('yes') || answers[1] === 'unsure') return inLanguage(language, offered.text);
    if (answers.includes('no')) return just({ type: 'LANGUAGE', language: current });
  }
  const seems = ears.recogniseLanguage(message.text);
  return seems ? inLanguage(seems, message.text) : null;
};
