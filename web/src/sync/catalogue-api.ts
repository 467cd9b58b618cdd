import type {
  CardAnswer,
  CatalogueAnswer,
  ComparisonAnswer,
  PublicAnswer,
  PublicationAnswer,
} from '@unhindered/shared-types';
import { call, post } from './api.ts';

/** The catalogue's part of the JSON interface. */
export const catalogueApi = {
  find: (query: URLSearchParams) => call<CatalogueAnswer>(`/catalogue?${query.toString()}`),
  compare: (ids: readonly string[]) =>
    call<ComparisonAnswer>(`/compare?ids=${encodeURIComponent(ids.join(','))}`),
  card: (evaluation: string) => call<CardAnswer>(`/cards/${evaluation}`),
  publication: (evaluation: string) =>
    call<PublicationAnswer>(`/evaluations/${evaluation}/publication`),
  look: (secret: string) => post<PublicAnswer>('/public/look', { secret }),
};
