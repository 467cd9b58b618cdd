import type { Change, Family, Play } from './family.ts';
import { openPanelDoor } from './socketio.ts';

/** Raw frames of engine.io after a good connection. */
const act = async (play: Play): Promise<void> => {
  const { world, judged, payload } = play;
  const door = await openPanelDoor(world.people.ada.client);
  const before = door.texts.length;
  door.send(payload);
  await door.read();
  const code = door.code();
  judged.answers.push(...door.texts.slice(before).filter((t) => !t.startsWith('439')));
  if (code !== undefined) {
    judged.outcome = 'rejected-with-clear-error';
    judged.observe('closed-1009-or-1008', code === 1009 || code === 1008, `closed ${String(code)}`);
  } else {
    const refused = door.texts
      .slice(before)
      .some((t) => t.startsWith('42["refused"') || t.startsWith('44'));
    judged.outcome = refused ? 'rejected-with-clear-error' : 'ignored';
    judged.observe('closed-1009-or-1008', false, 'still open');
  }
  door.close();
};

const check = (_play: Play, _change: Change): void => undefined;

export const socketioRaw: Family = { act, check };
