import type { RegisterAnswer, SpecimenAnswer } from '@unhindered/shared-types';
import { call } from './api.ts';

/** The register's part of the JSON interface. */
export const registerApi = {
  find: (text: string, retired: boolean) =>
    call<RegisterAnswer>(
      `/specimens?${new URLSearchParams({ text, retired: retired ? 'yes' : 'no' }).toString()}`,
    ),
  look: (specimen: string) => call<SpecimenAnswer>(`/specimens/${specimen}`),
};
