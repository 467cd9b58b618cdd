import type { Browser } from 'playwright-core';
import { SeatClient } from '../../../server/src/rehearse/seat-client.ts';
import { freshDirectory, removeDirectory, startProgram } from '../../support/program.ts';
import { Ear } from '../suite/ear.ts';
import { buildWorld } from '../suite/world.ts';
import { openDevice, whenThere } from './device.ts';

export interface OpeningPlan {
  reviewers: number;
  openings: number;
  /** How many times slower than this machine. */
  cpu: number;
}

/**
 * Milliseconds from the moderator's command until a reviewer's screen has painted what was opened, everybody else of the
 * panel being sent the same; one fresh device for each opening, which has had its sheet open. The first is not counted.
 */
export const openingsPainted = async (browser: Browser, plan: OpeningPlan): Promise<number[]> => {
  const { reviewers, openings, cpu } = plan;
  const directory = freshDirectory();
  const sealed = openings + 1;
  const world = await buildWorld(directory, { panels: 1, sealed, reviewers, prefilled: 30 });
  const program = await startProgram(directory);
  const [panel] = world.panels;
  const [own = '', ...others] = panel?.seats.map((s) => s.cookies[0] ?? '') ?? [];
  const seat = panel?.seats[0]?.seat;
  const lead = new SeatClient(program.url, panel?.moderator ?? '');
  const ears = await Promise.all(others.map((cookie) => Ear.open(program.url, cookie)));
  const times: number[] = [];
  try {
    for (const { id } of panel?.sealed ?? []) {
      for (const client of [lead, ...ears]) await client.watch(id);
      const wanted = '[data-testid="opened-task"]';
      const device = await openDevice(browser, { url: program.url, cpu, cookie: own, wanted });
      await device.page.goto(`${program.url}/evaluation/${id}/sheet`);
      await device.page.locator('.rungs input:enabled').first().waitFor();
      // Its panel socket comes after the rungs; the seat is online when it is there.
      await lead.until('online', (v) => v.seats?.find((s) => s.seat === seat)?.online === true);
      const asked = performance.timeOrigin + performance.now();
      await lead.onEvaluation({ type: 'open-round', withMissing: true });
      await device.page.locator(wanted).waitFor();
      times.push((await whenThere(device.page)) - asked);
      await device.context.close();
    }
  } finally {
    lead.close();
    for (const ear of ears) ear.close();
    await program.stop();
    removeDirectory(directory);
  }
  return times.slice(1);
};
