import { leadWords } from './en/lead.ts';

/** The words of the lead's way in, apart from those of people who join. */
export const lead: typeof leadWords = leadWords;
