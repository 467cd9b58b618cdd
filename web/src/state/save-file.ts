/** Hands a text to the person as a file of their own. */
export const saveText = (name: string, type: string, text: string): void => {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([text], { type }));
  link.download = name;
  link.click();
  URL.revokeObjectURL(link.href);
};

/** Hands something to the person as a JSON file. */
export const saveJson = (name: string, value: unknown): void =>
  saveText(name, 'application/json', JSON.stringify(value, null, 1));
