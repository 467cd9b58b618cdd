/** The parts of a version, `1.2.3`; a part that is none counts as 0. */
const parts = (version: string): number[] =>
  version.split('.').map((part) => (/^\d+$/u.test(part) ? Number(part) : 0));

/** PR-6: versions in order, part by part as numbers: 1.10.0 comes after 1.9.9. */
export const compareVersions = (a: string, b: string): number => {
  const [left, right] = [parts(a), parts(b)];
  for (let i = 0; i < Math.max(left.length, right.length); i++) {
    const difference = (left[i] ?? 0) - (right[i] ?? 0);
    if (difference !== 0) return difference;
  }
  return 0;
};

/** The greatest of versions; undefined of none. */
export const greatestVersion = (versions: readonly string[]): string | undefined =>
  versions.toSorted(compareVersions).at(-1);

/** The version that a copy begins with: the middle part one higher. */
export const nextVersion = (version: string): string => {
  const [major = 0, minor = 0] = parts(version);
  return minor < 9999 ? `${String(major)}.${String(minor + 1)}.0` : `${String(major + 1)}.0.0`;
};
