import { tick } from 'svelte';

/** FO-1: goes to the first field that is marked as wrong, once it is; a group's first choice stands for the group. */
export const toFault = async (): Promise<void> => {
  await tick();
  const field = document.querySelector<HTMLElement>('[aria-invalid="true"], [data-wrong="true"]');
  if (field?.matches('fieldset')) field.querySelector('input')?.focus();
  else field?.focus();
};
