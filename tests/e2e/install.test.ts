import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { axeViolations } from '../support/axe.ts';
import { browserPath, launchBrowser, noBrowser } from '../support/chromium.ts';
import { ICONS, PUBLIC } from '../support/draw-icons.ts';
import { picture } from '../support/people.ts';
import { freshDirectory, removeDirectory, startProgram, type Program } from '../support/program.ts';
import { temporaryDirectory } from '../support/temporary-directory.ts';

const PHONE = { width: 360, height: 740 };

/** Width and height of a PNG: its first chunk holds them (PNG specification, 11.2.1). */
const sizeOf = (file: string): { width: number; height: number } => {
  const bytes = readFileSync(join(PUBLIC, file));
  return { width: bytes.readUInt32BE(16), height: bytes.readUInt32BE(20) };
};

/** A browser with a profile of its own: a private window is never asked to install anything. */
const ownBrowser = async (): Promise<BrowserContext> => {
  const context = await chromium.launchPersistentContext(temporaryDirectory(), {
    executablePath: browserPath() ?? '',
    args: ['--no-sandbox', '--disable-gpu'],
    viewport: PHONE,
    locale: 'en-GB',
  });
  onTestFinished(() => context.close());
  return context;
};

/** A private window: only what the test itself asks comes there. */
const privateWindow = async (): Promise<BrowserContext> => {
  const browser = await launchBrowser();
  onTestFinished(() => browser.close());
  return browser.newContext({ viewport: PHONE, locale: 'en-GB' });
};

/** The browser's question, as it would come; what is done with it stands in `asked` of the page. */
const askToInstall = (page: Page): Promise<void> =>
  page.evaluate(() => {
    const asked: string[] = [];
    const event = new Event('beforeinstallprompt', { cancelable: true });
    const prompt = (): Promise<void> => Promise.resolve(void asked.push('prompt'));
    Object.assign(event, { prompt });
    Object.assign(globalThis, { asked });
    asked.push(`prevented ${String(!dispatchEvent(event))}`);
  });
const asked = (page: Page): Promise<string[]> =>
  page.evaluate(() => (globalThis as unknown as { asked: string[] }).asked);

test('the icons are as large as the list of them says', () => {
  for (const { file, size } of ICONS) expect(sizeOf(file)).toEqual({ width: size, height: size });
});

describe.skipIf(noBrowser())('the program as an app', () => {
  let program: Program;
  beforeAll(async () => {
    program = await startProgram(freshDirectory());
  });
  afterAll(async () => {
    await program.stop();
    removeDirectory(program.directory);
  });

  test('the browser finds nothing that is in the way of installing it', async () => {
    const { url } = program;
    const context = await ownBrowser();
    const page = await context.newPage();
    await page.goto(`${url}/join`);
    await page.getByLabel('Code from the moderator').waitFor();
    const cdp = await context.newCDPSession(page);
    const { errors, data } = await cdp.send('Page.getAppManifest');
    expect(errors).toEqual([]);
    const manifest = JSON.parse(data ?? '{}') as { icons: { src: string; type: string }[] };
    for (const { src, type } of manifest.icons) {
      const response = await page.request.get(url + src);
      expect([src, response.status(), response.headers()['content-type']]).toEqual([
        src,
        200,
        type,
      ]);
    }
    const { installabilityErrors } = await cdp.send('Page.getInstallabilityErrors');
    expect(installabilityErrors).toEqual([]);
    // Its own question came, and waits behind our button.
    await page.getByTestId('install').getByRole('button', { name: 'Install' }).waitFor();
  });

  test('it is offered below the code, asks once, and is gone when it is installed', async () => {
    const { url } = program;
    const page = await (await privateWindow()).newPage();
    await page.goto(`${url}/join`);
    const code = page.getByLabel('Code from the moderator');
    const offer = page.getByTestId('install');
    await code.waitFor();
    expect(await offer.count()).toBe(0);
    await askToInstall(page);
    await offer.waitFor();
    expect(await axeViolations(page)).toEqual([]);
    await picture(page, 'install-offer', true);
    const [field, box] = [await code.boundingBox(), await offer.boundingBox()];
    expect(box?.y).toBeGreaterThan((field?.y ?? 0) + (field?.height ?? 0));
    await offer.getByRole('button', { name: 'Install' }).click();
    await offer.waitFor({ state: 'detached' });
    expect(await asked(page)).toEqual(['prevented true', 'prompt']);
    await askToInstall(page);
    await offer.waitFor();
    await page.evaluate(() => dispatchEvent(new Event('appinstalled')));
    await offer.waitFor({ state: 'detached' });
  });

  test('who does not want it is not asked again on this device', async () => {
    const { url } = program;
    const page = await (await privateWindow()).newPage();
    await page.goto(`${url}/join`);
    await askToInstall(page);
    const offer = page.getByTestId('install');
    await offer.getByRole('button', { name: 'Do not ask again' }).click();
    await offer.waitFor({ state: 'detached' });
    await page.reload();
    await page.getByLabel('Code from the moderator').waitFor();
    await askToInstall(page);
    await page.getByRole('heading', { level: 1 }).waitFor();
    expect(await offer.count()).toBe(0);
  });

  test('an iPhone, which never asks, is told how, before a seat is taken', async () => {
    const { url } = program;
    const context = await privateWindow();
    // Apple's browsers alone have this property, see the documentation of their web apps.
    await context.addInitScript(() => {
      Object.defineProperty(navigator, 'standalone', { value: false });
      Object.defineProperty(navigator, 'maxTouchPoints', { value: 5 });
    });
    const page = await context.newPage();
    await page.goto(`${url}/join`);
    await page.getByTestId('install').getByText('Add to Home Screen').waitFor();
    expect(await page.getByRole('button', { name: 'Install' }).count()).toBe(0);
    await picture(page, 'install-by-hand', true);
  });
});
