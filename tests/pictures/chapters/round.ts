import {
  declareNothing,
  goWithoutFit,
  HD,
  LAPTOP,
  next,
  PHONE,
  rateAll,
  rateStep,
  reasonDialog,
  saved,
} from '../../support/people.ts';
import type { Watched } from '../camera.ts';
import {
  makeEvaluation,
  moderatorOf,
  NO_ANSWER,
  seated,
  type Chapter,
  type Stage,
} from '../stage.ts';

const REASON = 'Talked through at the bench with the specimen in hand.';

/** What each reviewer rates, task by task; null is "does not apply". One stands alone on the fourth task. */
const USUAL = Array.from({ length: 30 }, (_, i) => ([7, 8, 9].includes(i) ? null : i % 3));
const ALONE = USUAL.map((step, i) => (i === 3 ? 4 : step));

interface Cast {
  moderator: Watched;
  ada: Watched;
  ben: Watched;
  cleo: Watched;
  wall: Watched;
  observer: Watched;
}

const stageOf = ({ moderator }: Cast, word: RegExp): Promise<void> =>
  moderator.page.getByTestId('stage').getByText(word).first().waitFor();

const cast = async (stage: Stage): Promise<Cast> => {
  const moderator = await moderatorOf(stage);
  const ada = await seated(stage, moderator, 'Reviewer', 'Ada (invented)', LAPTOP);
  const ben = await seated(stage, moderator, 'Reviewer', 'Ben (invented)', PHONE, true);
  const cleo = await seated(stage, moderator, 'Reviewer', 'Cleo (invented)', PHONE);
  for (const { page } of [ada, ben, cleo]) await declareNothing(page);
  const wall = await seated(stage, moderator, 'Wall display', '', HD);
  const observer = await seated(stage, moderator, 'Observer', 'Olu (invented)', LAPTOP);
  return { moderator, ada, ben, cleo, wall, observer };
};

const waiting = async (stage: Stage, all: Cast): Promise<void> => {
  const { moderator, ada, ben, cleo, wall, observer } = all;
  await stage.look(wall, 'wall-empty');
  await stage.look(ben, 'panel-reviewer');
  await makeEvaluation(moderator, false);
  await stage.look(moderator, 'desk-waiting');
  await goWithoutFit(moderator.page);
  for (const { page } of [ada, ben, cleo]) {
    await page.getByRole('button', { name: 'My sheet' }).click();
    await page.waitForURL(/sheet/u);
  }
  await observer.page.getByRole('button', { name: 'Follow' }).click();
  await observer.page.waitForURL(/evaluation/u);
  await stage.look(ben, 'sheet-waiting');
  await stage.look(observer, 'follow-waiting');
  await stage.look(wall, 'wall-waiting');
};

const sealed = async (stage: Stage, all: Cast): Promise<void> => {
  const { moderator, ada, ben, cleo, wall, observer } = all;
  await moderator.page.getByRole('button', { name: /Start round 1/u }).click();
  await stageOf(all, /Sealed/u);
  for (const { page } of [ada, ben, cleo]) await page.getByRole('radio').first().waitFor();
  await stage.look(ben, 'sheet-sealed');
  await rateStep(ben.page, 1);
  await saved(ben.page);
  await stage.look(ben, 'sheet-saved');
  await rateAll(ada.page, USUAL);
  await saved(ada.page);
  await ada.page.getByRole('button', { name: '8', exact: false }).first().waitFor();
  await stage.look(ada, 'sheet-last-task');
  await rateAll(cleo.page, ALONE.slice(0, 14));
  await rateStep(cleo.page, 5);
  await cleo.page.getByRole('button', { name: 'Propose a critical failure' }).click();
  await stage.look(cleo, 'sheet-proposing-a-failure');
  await reasonDialog(cleo.page, 'Still attached at the cap, twice.', 'Propose it');
  await cleo.page.getByText('Critical failure proposed').waitFor();
  await saved(cleo.page);
  await stage.look(cleo, 'sheet-failure-proposed');
  await next(cleo.page);
  await rateAll(cleo.page, ALONE.slice(14));
  await saved(cleo.page);
  await cleo.page.getByRole('button', { name: /^I am finished/u }).click();
  await ada.page.getByRole('button', { name: /^I am finished/u }).click();
  await moderator.page.getByRole('button', { name: 'Open with 2 of 3 finished' }).waitFor();
  await stage.look(cleo, 'sheet-finished');
  await stage.look(moderator, 'desk-sealed');
  await wall.page.getByText(/^Rating, sealed/u).waitFor();
  await stage.look(wall, 'wall-sealed');
  await stage.look(observer, 'follow-sealed');
  ben.expected = NO_ANSWER;
  stage.line.cut();
  await next(ben.page);
  await ben.page.getByText('Kept on this device, waiting for the server').waitFor();
  await rateAll(ben.page, [2, 0]);
  await stage.look(ben, 'sheet-offline');
};

const opened = async (stage: Stage, all: Cast): Promise<void> => {
  const { moderator, ada, ben, wall, observer } = all;
  const { page } = moderator;
  await page.getByRole('button', { name: 'Open with 2 of 3 finished' }).click();
  await page.getByText('Not finished: B.').waitFor();
  await stage.look(moderator, 'desk-opening-asks');
  await page.getByRole('button', { name: 'Press again to open' }).click();
  await stageOf(all, /Opened/u);
  await page.getByTestId('insight').getByText('If somebody had been away').waitFor();
  await page.getByTestId('queue').getByText('primary tool').waitFor();
  await stage.look(moderator, 'desk-divergent');
  await ada.page.getByTestId('opened-task').first().waitFor();
  await stage.look(ada, 'sheet-opened');
  await observer.page.getByTestId('opened-task').first().waitFor();
  await stage.look(observer, 'follow-opened');
  await wall.page.getByText('primary tool').waitFor();
  await stage.look(wall, 'wall-divergent');
  stage.line.mend();
  await page.getByTestId('late').getByRole('listitem').first().waitFor();
  await stage.look(moderator, 'desk-late');
  await stage.look(ben, 'sheet-late');
  ben.expected = null;
  const late = page.getByTestId('late');
  const admit = late.getByRole('button', { name: 'Admit', exact: true });
  const waiting = await admit.count();
  for (let left = waiting; left > 0; left--) {
    await admit.first().click();
    if (left === waiting) await stage.look(moderator, 'desk-reason');
    await reasonDialog(page, 'Made before the opening by its clock.', 'Admit');
    while ((await admit.count()) >= left) await page.waitForTimeout(50);
  }
  await page
    .getByTestId('queue')
    .getByRole('button', { name: /primary tool/u })
    .click();
  await page.getByLabel('Write a remark').fill('The screws were rusted, see the photo.');
  await page.getByRole('button', { name: 'Post', exact: true }).click();
  await page.getByText('The screws were rusted').waitFor();
  await stage.look(moderator, 'desk-failure');
};

const again = async (stage: Stage, all: Cast): Promise<void> => {
  const { moderator, ada, cleo, wall } = all;
  const { page } = moderator;
  await page
    .getByTestId('queue')
    .getByRole('button', { name: /Holding head and neck/u })
    .click();
  await page.getByRole('button', { name: 'Second round', exact: true }).click();
  await page.getByRole('button', { name: /Call the second round on 1 task/u }).click();
  await stageOf(all, /Round 2/u);
  await cleo.page.getByText('Your rating in the round before: 4 severe').waitFor();
  await rateStep(cleo.page, 1);
  await saved(cleo.page);
  await stage.look(cleo, 'sheet-second-round');
  await stage.look(moderator, 'desk-second-round');
  await stage.look(wall, 'wall-second-round');
  for (const { page: sheet } of [ada, cleo]) {
    if (sheet === ada.page) await rateStep(sheet, 0);
    await saved(sheet);
    await sheet.getByRole('button', { name: /^I am finished/u }).click();
  }
  await page.getByRole('button', { name: /Open with 2 of 3/u }).click();
  await page.getByRole('button', { name: 'Press again to open' }).click();
  await stageOf(all, /Opened/u);
};

const settled = async (stage: Stage, all: Cast): Promise<void> => {
  const { moderator, wall, ada } = all;
  const { page } = moderator;
  const queue = page.getByTestId('queue');
  await queue.getByRole('button', { name: /primary tool/u }).click();
  await page.getByTestId('gate').getByRole('button', { name: 'Confirm' }).click();
  await reasonDialog(page, 'Twice held fast at the cap.', 'Confirm');
  await page.getByTestId('settle').getByRole('button', { name: 'Decide' }).click();
  await page.getByRole('dialog').getByLabel('Value').selectOption('4.5');
  await stage.look(moderator, 'desk-settling');
  await reasonDialog(page, REASON, 'Settle');
  await page
    .getByTestId('gate')
    .getByText(/^Confirmed/u)
    .waitFor();
  await stage.look(moderator, 'desk-settled');
  await stage.look(wall, 'wall-settled');
  await stage.look(ada, 'sheet-settled');
  await page.getByRole('button', { name: 'Lock the evaluation' }).click();
  await stage.look(moderator, 'desk-lock-missing');
  for (;;) {
    const first = queue.getByRole('listitem').first();
    if ((await first.count()) === 0) break;
    const text = await first.innerText();
    await first.getByRole('button').click();
    await page.getByTestId('settle').getByRole('button', { name: 'Leave open' }).click();
    await reasonDialog(page, REASON, 'Leave open');
    while ((await first.count()) > 0 && (await first.innerText()) === text)
      await page.waitForTimeout(50);
  }
  await page.getByRole('button', { name: /^Adopt .+ undisputed/u }).click();
  await page.getByTestId('lock').getByText('Undisputed tasks adopted').waitFor();
  await page.getByRole('button', { name: 'Lock the evaluation' }).click();
  await page.getByRole('dialog').getByRole('button', { name: 'Lock and sign' }).waitFor();
  await stage.look(moderator, 'desk-locking');
};

const locked = async (stage: Stage, all: Cast): Promise<void> => {
  const { moderator, wall, ada, observer } = all;
  const { page } = moderator;
  await page.getByRole('dialog').getByRole('button', { name: 'Lock and sign' }).click();
  await stageOf(all, /Locked/u);
  await stage.look(moderator, 'desk-locked');
  await ada.page.getByText('Locked', { exact: true }).waitFor();
  await stage.look(ada, 'sheet-locked');
  await stage.look(observer, 'follow-locked');
  await stage.look(wall, 'wall-locked');
  await page.getByRole('button', { name: 'Record' }).click();
  await page.getByTestId('verdict').waitFor({ timeout: 90_000 });
  await page.getByTestId('record-verdict').waitFor();
  await stage.look(moderator, 'record');
  await page.goBack();
  await page.goBack();
  await page.getByRole('heading', { name: 'Seats' }).waitFor();
  await stage.look(moderator, 'panel-with-evaluation');
};

/** One evaluation from waiting to locked, as each role sees it. */
export const round: Chapter = {
  name: 'round',
  play: async (stage) => {
    const all = await cast(stage);
    await waiting(stage, all);
    await sealed(stage, all);
    await opened(stage, all);
    await again(stage, all);
    await settled(stage, all);
    await locked(stage, all);
  },
};
