import manifest from '../../package.json' with { type: 'json' };

/** Name and version of this program, as it stands in bundles. */
export const SOFTWARE = `${manifest.name} ${manifest.version}`;
