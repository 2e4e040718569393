import { begin, step } from '#dialogs/conversation.ts';
import { createEars } from '#src/locales/ears.ts';
import { choicesInWords } from '#src/turns/choice-labels.ts';
import type { RenderedReply } from '#src/turns/rendered-reply.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';
import { answerTo } from '../../families/answers.ts';
import { chance } from '../../families/chance.ts';
import { type Family, type FamilyKind, familyOf } from '../../families/family.ts';
import { told } from '../../families/told.ts';

/** A whole intake: what the bot says at each turn, and what the caregiver then types or taps. */
export interface Script {
  readonly asked: readonly RenderedReply[];
  readonly answers: readonly string[];
}

const SEED = 7;
const KINDS: readonly FamilyKind[] = ['newborn in rear-facing-only', 'preschooler harnessed', 'two children'];
const LONGEST = 150;

const ears = createEars();
const voice = createVoice(createWords());

/** The intake of one family to its end, as Bot Framework channels carry it: a tap arrives as the words of its button. */
function intakeOf(family: Family, today: string): Script {
  const known = told(family);
  let now = begin({ language: 'en', languageKnown: true, eventId: null, reference: 'TEST-CODE', today });
  const asked: RenderedReply[] = [];
  const answers: string[] = [];
  while (!now.reply.done && now.snapshot.value !== 'sent') {
    if (answers.length > LONGEST) throw new Error(`the intake of a ${family.kind} family has no end`);
    const shown = voice.render('en', now.reply);
    const { text, choiceIds } = answerTo(now.reply, known, family.due) ?? { text: 'yes', choiceIds: [] };
    const words = choiceIds.map((id) => shown.choices.find((choice) => choice.id === id)?.text ?? id).join(', ');
    const said = text || words;
    asked.push(shown);
    answers.push(said);
    now = step(now.snapshot, { text: said, choiceIds: choicesInWords(said, shown) }, today, ears);
  }
  return { asked, answers };
}

/** Intakes of three invented families, the same on every run of a day. */
export function intakes(today = new Date().toISOString().slice(0, 10)): readonly Script[] {
  const choices = chance(SEED);
  return KINDS.map((kind) => intakeOf(familyOf(choices, kind), today));
}
