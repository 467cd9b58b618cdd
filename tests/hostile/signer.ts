/** The signer of the bundles that tests make; see tests/support/test-app.ts. */
export const TEST_SIGNER = { name: 'test.local', seed: new Uint8Array(32).fill(3) };
