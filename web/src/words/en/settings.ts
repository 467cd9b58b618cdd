/** Words of the settings of this device. */
export const settingsWords = {
  mode: 'Display',
  modes: { auto: 'automatic', sun: 'bright sun', night: 'dark room' },
  language: 'Language',
  halfFilled:
    'The page is loaded again in the other language. What you typed here and did not send is lost. Change it all the same?',
  offline: 'The other language comes with the server: choose it when there is a link.',
};
