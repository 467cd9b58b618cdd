const save = (name: string, text: string): void => {
  const file = new Blob([text], { type: 'application/json' });
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  URL.revokeObjectURL(link.href);
};

/** Hands something to the person as a JSON file. */
export const saveJson = (name: string, value: unknown): void =>
  save(name, JSON.stringify(value, null, 1));

/** Hands a text to the person as a JSON file, as it stands. */
export const saveText = (name: string, text: string): void => save(name, text);
