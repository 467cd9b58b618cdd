import * as v from 'valibot';

/**
 * lead owns the workspace; moderator runs a panel; reviewer rates; observer sees and never rates;
 * wall is the lab display; recorder and operator (who performs the trials) enter trials and never rate.
 */
export const ROLES = ['moderator', 'reviewer', 'observer', 'wall', 'recorder', 'operator'] as const;
export const role = v.picklist(ROLES);
export type Role = v.InferOutput<typeof role>;

/** `system` is the server acting on its own; `lead` is the owner outside any seat. */
export const actorRole = v.picklist([...ROLES, 'lead', 'system']);
export type ActorRole = v.InferOutput<typeof actorRole>;
