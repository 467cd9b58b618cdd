import '@fontsource-variable/atkinson-hyperlegible-next/wght.css';
import './styles/tokens.css';
import './styles/base.css';
import { mount } from 'svelte';
import App from './App.svelte';
import { noticeTyping } from './state/half-filled.ts';
import { noticeInstall } from './state/install.ts';
import { showMode, shownMode } from './state/settings.ts';

const target = document.getElementById('app');
if (!target) throw new Error('the page has no place for the application');
showMode(shownMode());
noticeTyping();
noticeInstall();
// The line that stood in for it while it came.
target.textContent = '';
mount(App, { target });

/** What works without a network is fetched after the first screen is: until then the line belongs to that. */
const KEEP_AFTER_MS = 5000;

if ('serviceWorker' in navigator && import.meta.env.PROD) {
  setTimeout(() => {
    navigator.serviceWorker.register('/service-worker.js').catch(() => {
      // Without a secure context there is no offline shell; everything else works.
    });
  }, KEEP_AFTER_MS);
}
