import { seededChance } from '../analysis/seeded-chance.ts';
import { ladderFigures } from '../evaluation/ladder-figures.ts';
import type { GatheredLadder } from '../evaluation/ladders.ts';
import { LADDER_SEED } from '../measures/access-figures.ts';
import { answerQuestions } from './answer-questions.ts';

/** The thread that computes times to access. */
answerQuestions((gathered: GatheredLadder[]) => ladderFigures(gathered, seededChance(LADDER_SEED)));
