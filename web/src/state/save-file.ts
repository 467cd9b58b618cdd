/** Hands something to the person as a JSON file. */
export const saveJson = (name: string, value: unknown): void => {
  const file = new Blob([JSON.stringify(value, null, 1)], { type: 'application/json' });
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  URL.revokeObjectURL(link.href);
};
