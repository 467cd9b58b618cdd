/**
 * The store could not keep a step, and kept nothing of it. The message is for the people who wait for the answer: what
 * happened, and whether trying again can help.
 */
export class NotKept extends Error {}
