import type {
  PracticeList,
  PracticeView,
  ProtocolLearning,
  Rating,
  ReviewerLearning,
} from '@unhindered/shared-types';
import { call, post } from './api.ts';

/** What reviewers and protocols learn, and practice. */
export const learnApi = {
  reviewer: (panel: string, seat: string) =>
    call<ReviewerLearning>(`/panels/${panel}/learning/${seat}`),
  versions: () =>
    call<{ versions: { id: string; version: string; title: string }[] }>('/learning/versions'),
  protocol: (id: string, version: string) =>
    call<ProtocolLearning>(`/learning?id=${id}&version=${version}`),
  offers: () => call<PracticeList>('/practice'),
  practice: (evaluation: string) => call<PracticeView>(`/practice/${evaluation}`),
  begin: (evaluation: string) => post<PracticeView>('/practice', { evaluation }),
  finish: (evaluation: string, ratings: { task: string; rating: Rating }[], share: boolean) =>
    post<PracticeView>('/practice/finish', { evaluation, ratings, share }),
  giveUp: (evaluation: string) => post<PracticeList>('/practice/give-up', { evaluation }),
  share: (evaluation: string, share: boolean) =>
    post<PracticeView>('/practice/share', { evaluation, share }),
};
