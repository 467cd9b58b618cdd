/**
 * An invented manikin's file: two runs of thirty compressions at 109 a minute, every fifth too shallow, every sixth
 * not released, with a pause of two breaths between them.
 */
export const manikinFile = (): string => {
  const lines = ['Time (s);Compression depth (mm);Full release;Breath success;Volume (ml)'];
  const press = (from: number): void => {
    for (let i = 0; i < 30; i += 1) {
      const depth = i % 5 === 4 ? 45.5 : 54.5;
      const at = (from + i * 0.55).toFixed(2).replace('.', ',');
      lines.push(`${at};${String(depth).replace('.', ',')};${i % 6 === 5 ? 'no' : 'yes'};;`);
    }
  };
  press(0);
  lines.push('18,00;;;yes;520');
  lines.push('20,00;;;no;180');
  press(22);
  return `${lines.join('\r\n')}\r\n`;
};
