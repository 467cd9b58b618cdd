import { manikinFile } from '../../support/manikin-file.ts';
import { pngByHand } from '../../support/media-by-hand.ts';
import { motionFile } from '../../support/motion-file.ts';
import { declareNothing, HD, PHONE, rateStep, saved } from '../../support/people.ts';
import type { Watched } from '../camera.ts';
import {
  makeEvaluation,
  moderatorOf,
  NO_ANSWER,
  seated,
  type Chapter,
  type Stage,
} from '../stage.ts';

const FIRST = 'Face-mask off with the primary tool';
const BACKUP = 'Face-mask off with the cutting back-up';

interface Cast {
  moderator: Watched;
  ada: Watched;
  recorder: Watched;
  wall: Watched;
}

const cast = async (stage: Stage): Promise<Cast> => {
  const moderator = await moderatorOf(stage);
  const ada = await seated(stage, moderator, 'Reviewer', 'Ada (invented)', PHONE);
  await declareNothing(ada.page);
  const recorder = await seated(stage, moderator, 'Recorder', 'Rita (invented)', PHONE, true);
  const wall = await seated(stage, moderator, 'Wall display', '', HD);
  await makeEvaluation(moderator, true);
  return { moderator, ada, recorder, wall };
};

const fit = async (stage: Stage, { recorder }: Cast): Promise<void> => {
  const { page } = recorder;
  await page.getByRole('button', { name: 'Fit check' }).click();
  await page.getByTestId('fit-form').waitFor();
  await stage.look(recorder, 'fit-empty');
  await page.getByLabel('Title of the maker’s instructions').fill('Fitting sheet (invented)');
  await page.getByLabel('Step 1', { exact: true }).fill('Straps pulled tight');
  await page.getByLabel('Result of step 1').selectOption({ label: 'not met' });
  await page.getByLabel('Code of the model').fill('M1');
  await page.getByLabel('Time the fitting took').fill('4,5');
  await page.getByRole('button', { name: 'Record as failed' }).click();
  await page
    .getByTestId('fit-standing')
    .getByText(/failed/u)
    .waitFor();
  await stage.look(recorder, 'fit-failed');
  await page.goBack();
};

/** Enters one trial of the task on show by typing it. */
const type = async (page: Watched['page'], who: string, time: string): Promise<void> => {
  await page.getByLabel('Operator', { exact: true }).fill(who);
  await page.getByRole('button', { name: 'Type a time instead' }).click();
  await page.getByRole('radio', { name: 'Done', exact: true }).check();
  await page.getByLabel(/^(Time|Time: .*)$/u).fill(time);
  await page.getByRole('radio', { name: 'Cannot say' }).check();
  await page.getByRole('button', { name: 'Enter the trial' }).click();
  await saved(page);
};

const trials = async (stage: Stage, { recorder, moderator, ada }: Cast): Promise<void> => {
  const { page } = recorder;
  await page.getByRole('button', { name: 'Trials' }).click();
  await page.getByTestId('stopwatch').waitFor();
  await stage.look(recorder, 'trials-briefing');
  await page.getByRole('button', { name: 'I have read this and act on it' }).click();
  await page.getByLabel('Task', { exact: true }).selectOption({ label: FIRST });
  await page.getByLabel('Operator', { exact: true }).fill('k1');
  await page.getByRole('button', { name: 'Start' }).click();
  await page.getByRole('button', { name: 'Split' }).click();
  await stage.look(recorder, 'trials-running');
  await page.getByRole('button', { name: 'Stop the clock' }).click();
  await page.getByRole('radio', { name: /^Not done/u }).check();
  await page.getByLabel(/^(Time|Time: .*)$/u).fill('9O');
  await page.getByRole('radio', { name: 'Yes, met' }).check();
  await page.getByRole('button', { name: 'Enter the trial' }).click();
  await page.getByRole('alert').first().waitFor();
  await stage.look(recorder, 'trials-refused-value');
  await page.getByLabel(/^(Time|Time: .*)$/u).fill('180');
  await page.getByRole('button', { name: 'Enter the trial' }).click();
  await saved(page);
  await page.getByRole('button', { name: 'Time to access' }).click();
  await page.getByTestId('ladder').locator('p.empty').first().waitFor();
  await stage.look(recorder, 'access-too-few');
  await page.getByRole('button', { name: 'To the trials' }).click();
  recorder.expected = NO_ANSWER;
  await page.getByTestId('stopwatch').waitFor();
  stage.line.cut();
  await page
    .getByTestId('save-line')
    .getByText(/^Kept on this device/u)
    .waitFor();
  await page.getByLabel('Task', { exact: true }).selectOption({ label: FIRST });
  await page.getByLabel('Operator', { exact: true }).fill('K2');
  await page.getByRole('button', { name: 'Type a time instead' }).click();
  await page.getByRole('radio', { name: 'Done', exact: true }).check();
  await page.getByLabel(/^(Time|Time: .*)$/u).fill('22');
  await page.getByRole('radio', { name: 'No', exact: true }).check();
  await page.getByRole('button', { name: 'Enter the trial' }).click();
  await page.getByTestId('waiting').first().waitFor();
  await stage.look(recorder, 'trials-offline');
  stage.line.mend();
  await saved(page);
  recorder.expected = null;
  for (const [who, time] of [
    ['K1', '31'],
    ['K2', '1:04'],
    ['K3', '48,5'],
    ['K3', '95'],
  ] as const)
    await type(page, who, time);
  await page.getByLabel('Task', { exact: true }).selectOption({ label: BACKUP });
  for (const [who, time] of [
    ['K1', '61'],
    ['K2', '52'],
    ['K3', '88'],
  ] as const)
    await type(page, who, time);
  await stage.look(recorder, 'trials-list');
  await page.getByRole('button', { name: 'Time to access' }).click();
  await page.getByTestId('ladder').getByRole('img').waitFor();
  await stage.look(recorder, 'access');
  await page.getByRole('button', { name: 'To the trials' }).click();
  await ada.page.getByRole('button', { name: 'My sheet' }).click();
  await ada.page.getByText(/^All tasks/u).click();
  await ada.page
    .getByRole('button', { name: new RegExp(FIRST, 'u') })
    .first()
    .click();
  await ada.page.getByTestId('evidence').waitFor();
  await rateStep(ada.page, 0);
  await saved(ada.page);
  await stage.look(ada, 'sheet-with-trials');
  await moderator.page.getByTestId('stage').waitFor();
};

const files = async (stage: Stage, { recorder }: Cast): Promise<void> => {
  const { page } = recorder;
  const csv = (name: string, text: string) => ({
    name,
    mimeType: 'text/csv',
    buffer: Buffer.from(text),
  });
  const choose = (label: string, way: string) =>
    page.getByLabel(label, { exact: true }).selectOption({ label: way });
  const file = page.getByLabel(/^Choose (?:a CSV|another) file/u);
  await page.getByRole('button', { name: 'Series from a file' }).click();
  await file.waitFor();
  await stage.look(recorder, 'series-empty');
  const lines = [...motionFile(60)];
  for (let i = 10; i < 40; i += 1) lines[i] = (lines[i] ?? '').replace(/^([^,]*),[^,]*/u, '$1,x');
  await file.setInputFiles(csv('broken.csv', lines.join('')));
  await page.getByTestId('preview').waitFor();
  await page.getByRole('button', { name: 'Read the file' }).click();
  await page.getByText('Some choices are missing.').waitFor();
  await stage.look(recorder, 'series-columns');
  await page.getByRole('radio', { name: /^The helmet/u }).check();
  await choose('From side to side (flexion and extension turn about it)', 'z');
  await choose('Front to back (side-bending turns about it)', 'x');
  await choose('Along the spine (rotation turns about it)', 'y');
  await page.getByRole('button', { name: 'Read the file' }).click();
  await page.getByTestId('faults').waitFor();
  await stage.look(recorder, 'series-faults');
  await file.setInputFiles(csv('log-roll-1.csv', [...motionFile(2000)].join('')));
  await page.getByText('The columns are as you chose them before.').waitFor();
  await page.getByRole('button', { name: 'Read the file' }).click();
  await page.getByTestId('figures').getByText(/ rows/u).first().waitFor();
  await stage.look(recorder, 'series-motion');
  await file.setInputFiles(csv('press.csv', manikinFile()));
  await page.getByTestId('preview').waitFor();
  await page.getByRole('button', { name: 'Read the file' }).click();
  await page
    .getByTestId('figures')
    .getByText(/\d \p{L}+ 60\b/u)
    .first()
    .waitFor();
  await stage.look(recorder, 'series-manikin');
  await page.goBack();
  await page.getByRole('button', { name: 'Photos and clips' }).click();
  await page.getByText('Choose a file').waitFor();
  await stage.look(recorder, 'media-empty');
  recorder.expected = NO_ANSWER;
  stage.line.cut();
  await page
    .getByLabel('Choose a file')
    .setInputFiles({ name: 'strap.png', mimeType: 'image/png', buffer: pngByHand([]) });
  await page.getByLabel('What it shows').fill('The strap from the left');
  await page.getByLabel('I looked: no face can be seen in it').check();
  await page.getByRole('button', { name: 'Send it' }).click();
  await page
    .getByTestId('uploads')
    .getByText(/Waiting for the network/u)
    .waitFor();
  await stage.look(recorder, 'media-waiting');
  stage.line.mend();
  await page.reload();
  await page.getByRole('img', { name: 'The strap from the left' }).waitFor();
  recorder.expected = null;
  await stage.look(recorder, 'media');
  await page.goBack();
};

const safety = async (stage: Stage, { recorder, moderator, ada, wall }: Cast): Promise<void> => {
  const { page } = recorder;
  await page.getByRole('link', { name: 'Safety of the day' }).click();
  const models = page.getByTestId('models');
  await models.waitFor();
  await stage.look(recorder, 'safety-empty');
  await models.getByLabel('Code of the model').fill('m1');
  await models.getByLabel(/I have seen the written consent/u).check();
  await models.getByRole('button', { name: 'Record the consent' }).click();
  await models.getByText('M1', { exact: true }).waitFor();
  const notes = page.getByTestId('incidents');
  await notes.getByLabel('What happened').fill('A strap end slipped and touched the neck.');
  await notes.getByLabel('What was done').fill('Stopped, looked at, strap taped down.');
  await notes.getByRole('radio', { name: 'No, not informed' }).check();
  await notes.getByRole('button', { name: 'Keep the note' }).click();
  await notes.getByRole('listitem').getByText('A strap end slipped').waitFor();
  await stage.look(recorder, 'safety');
  await page.getByRole('button', { name: 'Everyone stop' }).click();
  const dialog = page.getByRole('dialog');
  await dialog.getByLabel('Why, in your words').fill('The strap pressed on the throat.');
  await stage.look(recorder, 'stop-asking');
  await dialog.getByRole('button', { name: 'Stop everyone now' }).click();
  for (const { page: of } of [moderator, ada, wall])
    await of.getByTestId('stop-notice').getByText('The strap pressed').waitFor();
  await stage.look(moderator, 'stopped-moderator');
  await stage.look(ada, 'stopped-reviewer');
  await stage.look(wall, 'stopped-wall');
  const notice = moderator.page.getByTestId('stop-notice');
  await notice.getByLabel('What was done about it').fill('Strap loosened; the model is well.');
  await notice.getByRole('button', { name: 'Let the day go on' }).click();
  await ada.page.getByTestId('day-goes-on').waitFor();
  await stage.look(ada, 'day-goes-on');
  await stage.look(moderator, 'desk-with-trials');
};

/** The practical day: fit, trials, files, photos, what stops it. */
export const bench: Chapter = {
  name: 'bench',
  play: async (stage) => {
    const all = await cast(stage);
    await fit(stage, all);
    await trials(stage, all);
    await files(stage, all);
    await safety(stage, all);
  },
};
