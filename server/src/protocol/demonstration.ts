/** The id of the demonstration's protocol: a workspace that holds it is invented as a whole. */
export const DEMO_PROTOCOL = 'sideline-access-demo';
