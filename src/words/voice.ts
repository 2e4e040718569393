import type { Phrase, Reply, Seating } from '#dialogs/reply.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { quantityWords } from './quantities.ts';
import type { Words } from './words.ts';

/** Says the replies of the conversation in a language. */
export interface Voice {
  readonly render: (language: string, reply: Reply) => RenderedReply;
}

export function createVoice(words: Words): Voice {
  const speaker = (language: string) => {
    const say = words.say(language, 'chat');
    const speak = ({ key, values = {} }: Phrase): string =>
      say(
        key,
        Object.fromEntries(
          Object.entries(values).map(([name, value]) => [
            name,
            typeof value === 'object' ? quantityWords(language, value, speak) : value,
          ]),
        ),
      );
    return speak;
  };
  return {
    render: (language, { say, choices, many, asking, child, seat, mode, seating, told, done }) => {
      const speak = speaker(language);
      const seated = (list: Seating['today']) =>
        list.map(({ place, who }) => ({ place, who: capitalised(speak(who), language) }));
      return {
        say: say.map((phrase) => capitalised(speak(phrase), language)),
        choices: choices.map(({ id, phrase }) => ({ id, text: capitalised(speak(phrase), language) })),
        many,
        asking,
        ...(child && { child }),
        ...(seat && { seat }),
        ...(mode && { mode }),
        ...(seating && { seating: { today: seated(seating.today), proposed: seated(seating.proposed) } }),
        told: [...told],
        done,
        language,
      };
    },
  };
}

/** A sentence may begin with "your child" or a unit; it still begins with a capital where the script has them. */
export const capitalised = (text: string, language: string): string =>
  text.replace(
    /^(["“¿¡]?)(\p{Ll})/u,
    (_, before: string, letter: string) => before + letter.toLocaleUpperCase(language),
  );
