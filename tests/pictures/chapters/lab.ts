import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { goWithoutFit, LAPTOP } from '../../support/people.ts';
import type { Watched } from '../camera.ts';
import { moderatorOf, NO_ANSWER, seated, type Chapter, type Stage } from '../stage.ts';

const PAPER = [
  'task,reviewer,rating,reason,note',
  'airway-open,Ines (invented),2,,Jaw thrust under the strap.',
  'airway-open,Omar (invented),3,,',
  'fit-retention,Ines (invented),1,,',
  'fit-retention,Omar (invented),1,,',
];

const workshop = async (stage: Stage, lead: Watched, ruth: Watched): Promise<void> => {
  const { page } = lead;
  const part = page.getByLabel('Part of the protocol');
  const check = page.getByTestId('faults');
  const saved = (of: Watched): Promise<void> =>
    of.page
      .getByTestId('save-state')
      .getByText(/^Saved as revision/u)
      .waitFor();
  await page.getByRole('link', { name: 'Protocols' }).click();
  await page.getByText('came with the program').waitFor();
  await stage.look(lead, 'protocols');
  await page.getByRole('button', { name: 'Copy to a draft: Emergency access 1.0.0' }).click();
  await check.getByText('No fault').waitFor();
  await stage.look(lead, 'draft');
  for (const [name, screen] of [
    ['Sections and weights', 'draft-sections'],
    ['Measures', 'draft-measures'],
    ['Technique ladders', 'draft-ladders'],
    ['Rules: divergence, gate, rounds', 'draft-rules'],
    ['Scale', 'draft-scale'],
  ] as const) {
    await part.selectOption({ label: name });
    await stage.look(lead, screen);
  }
  await part.selectOption({ label: '– Stays seated and fastened' });
  await page.getByLabel('Title', { exact: true }).fill('Stays seated when shaken');
  await page.getByLabel('Weight', { exact: true }).fill('heavy');
  await saved(lead);
  await check.getByRole('button', { name: /Weight/u }).waitFor();
  await stage.look(lead, 'draft-fault');
  await page.getByLabel('Weight', { exact: true }).fill('1.5');
  await check.getByText('No fault').waitFor();
  await page.getByRole('button', { name: 'Text (JSON)' }).click();
  await page.locator('#json').waitFor();
  await stage.look(lead, 'draft-text');
  await page.getByRole('button', { name: 'Form', exact: true }).click();
  await page.context().setOffline(true);
  lead.expected = NO_ANSWER;
  await part.selectOption({ label: 'Title and version' });
  await page.getByLabel('Title', { exact: true }).fill('Emergency access, shaken');
  await page
    .getByTestId('save-state')
    .getByText(/no link to the server/u)
    .waitFor();
  await stage.look(lead, 'draft-offline');
  await page.context().setOffline(false);
  await saved(lead);
  lead.expected = null;
  await ruth.page.goto(page.url());
  await ruth.page.getByLabel('Title', { exact: true }).fill('Emergency access, by Ruth');
  await saved(ruth);
  lead.expected = NO_ANSWER;
  await page.getByLabel('Title', { exact: true }).fill('Emergency access, by the lead');
  await page.getByTestId('conflict').waitFor();
  await stage.look(lead, 'draft-conflict');
  lead.expected = null;
  await page.getByRole('button', { name: 'Keep mine as a draft of its own' }).click();
  await page.getByRole('heading', { name: 'Draft: Emergency access, by the lead' }).waitFor();
  await page.getByRole('link', { name: 'All protocols' }).click();
  await page
    .getByText(/saved by/u)
    .filter({ hasText: 'Ruth' })
    .first()
    .waitFor();
  await stage.look(lead, 'protocols-with-drafts');
  await ruth.page.getByRole('button', { name: 'What changes against 1.0.0' }).click();
  await ruth.page.getByTestId('changes').waitFor();
  await ruth.page.getByRole('button', { name: 'Publish' }).click();
  const dialog = ruth.page.getByRole('dialog');
  await dialog.getByRole('textbox').fill('The first task is shaken.');
  await stage.look(ruth, 'draft-publishing');
  await dialog.getByRole('button', { name: 'Publish' }).click();
  await ruth.page.getByRole('heading', { name: 'Emergency access, by Ruth 1.1.0' }).waitFor();
  await ruth.page.getByRole('button', { name: 'Say what changed' }).click();
  await ruth.page.getByTestId('changes').waitFor();
  await stage.look(ruth, 'protocol-version');
};

const register = async (stage: Stage, lead: Watched): Promise<void> => {
  const { page } = lead;
  await page.getByRole('link', { name: 'Specimens' }).click();
  await page.getByRole('button', { name: 'Register', exact: true }).click();
  await page.getByLabel('Sport').fill('gridiron');
  await page.getByLabel('Maker', { exact: true }).fill('Larkmoor (invented)');
  await page.getByLabel('Model', { exact: true }).fill('Heron 3');
  await page.getByLabel('Serial number', { exact: true }).fill('HX-0417');
  await page.getByText('Age, mass, hardware, notes').click();
  await page.getByLabel('Mass in grams').fill('two');
  await page.getByRole('button', { name: 'Add a fastener' }).click();
  await page.getByRole('button', { name: 'Register', exact: true }).click();
  await page
    .getByRole('alert')
    .getByText(/whole grams/u)
    .waitFor();
  await stage.look(lead, 'specimen-form-refused');
  await page.getByLabel('Mass in grams').fill('2150');
  await page.getByLabel('Kind', { exact: true }).last().fill('mask screw');
  await page.getByLabel('How many').fill('4');
  await page.getByRole('button', { name: 'Register', exact: true }).click();
  await page.getByRole('heading', { name: 'Larkmoor (invented) Heron 3' }).waitFor();
  await page.getByRole('button', { name: 'Correct', exact: true }).click();
  await page.getByLabel('Serial number', { exact: true }).fill('HX-0471');
  await page.getByRole('button', { name: 'Save the correction' }).click();
  const dialog = page.getByRole('dialog');
  await dialog.getByRole('textbox').fill('Two digits were exchanged.');
  await dialog.getByRole('button', { name: 'Save the correction' }).click();
  await page.getByText('Serial number was: HX-0417').waitFor();
  await stage.look(lead, 'specimen');
  await page.getByRole('link', { name: 'Specimens' }).click();
  await page.getByLabel(/^Search/u).waitFor();
  await stage.look(lead, 'specimens');
};

const planner = async (stage: Stage, lead: Watched, panel: string): Promise<void> => {
  const { page } = lead;
  await page.goto(panel);
  await page.getByRole('button', { name: 'Plan the day' }).click();
  await page.getByLabel('Operators').fill('K1 K1');
  await page.getByRole('button', { name: 'Work out the plan' }).click();
  await page
    .getByRole('alert')
    .getByText(/stands twice/u)
    .waitFor();
  await stage.look(lead, 'planner-refused');
  await page.getByLabel('Operators').fill('k1, k2 k3');
  await page.getByLabel(/^Conditions/u).fill('As worn\nWithout it\nHidden fault');
  await page.getByLabel('Seed of the orders').fill('4711');
  await page.getByRole('radio', { name: 'From stated variances' }).check();
  await page.getByLabel('Wanted dependability (0 to 1)').fill('0,75');
  await page.getByRole('button', { name: 'Work out the plan' }).click();
  await page.getByTestId('plan-day').waitFor();
  await stage.look(lead, 'planner');
};

const paper = async (stage: Stage, lead: Watched, panel: string): Promise<void> => {
  const { page } = lead;
  const file = (name: string, lines: readonly string[]): string => {
    const path = join(stage.program.directory, name);
    writeFileSync(path, `${lines.join('\n')}\n`);
    return path;
  };
  await page.goto(panel);
  await page
    .getByLabel('Specimen on the bench')
    .selectOption({ label: 'Larkmoor (invented) Heron 3 HX-0471' });
  await page.getByRole('button', { name: 'Make an evaluation' }).click();
  await goWithoutFit(page);
  await page.getByRole('button', { name: 'Bring in ratings from paper' }).click();
  await page.getByLabel('Choose the file').waitFor();
  await stage.look(lead, 'paper-empty');
  const faulty = [...PAPER, 'airway-opened,Ines (invented),2,,', 'pulse-check,Omar (invented),7,,'];
  await page.getByLabel('Choose the file').setInputFiles(file('paper day.csv', faulty));
  await page.getByRole('heading', { name: '2 faults' }).waitFor();
  await stage.look(lead, 'paper-faults');
  await page.getByLabel('Choose another file').setInputFiles(file('paper day.csv', PAPER));
  await page.getByRole('heading', { name: 'Who is who' }).waitFor();
  await stage.look(lead, 'paper-people');
  await page.getByLabel('I have these ratings').check();
  await page.getByRole('button', { name: 'Bring in 4 ratings from paper' }).click();
  await page.getByTestId('stage').getByText('Imported from paper: not sealed here').waitFor();
  await stage.look(lead, 'paper-desk');
};

/** What is prepared at a desk: protocols, specimens, the plan of a day, ratings from paper. */
export const lab: Chapter = {
  name: 'lab',
  play: async (stage) => {
    const lead = await moderatorOf(stage);
    const panel = lead.page.url();
    const ruth = await seated(stage, lead, 'Moderator', 'Ruth (invented)', LAPTOP);
    await ruth.page.waitForURL(/panel/u);
    await workshop(stage, lead, ruth);
    await register(stage, lead);
    await planner(stage, lead, panel);
    await paper(stage, lead, panel);
  },
};
