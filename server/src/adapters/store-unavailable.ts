/** Why a store could not be opened, in words for the person who starts the server. */
export class StoreUnavailable extends Error {}
