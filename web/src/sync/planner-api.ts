import type { PlanAnswer, PlanBody } from '@unhindered/shared-types';
import { post } from './api.ts';

/** The plan of a panel's day. */
export const plannerApi = {
  plan: (panel: string, body: PlanBody) => post<PlanAnswer>(`/panels/${panel}/plan`, body),
};
