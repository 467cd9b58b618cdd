/** Words of the settings of this device. */
export const settingsWords = {
  mode: 'Display',
  modes: { auto: 'automatic', sun: 'bright sun', night: 'dark room' },
  language: 'Language',
  offline: 'The other language comes with the server: choose it when there is a link.',
};
