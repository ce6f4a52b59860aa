/** What cuts clips by loudness alone: a file of its own, fetched when hands-free has no other ear. */
import { type Listened, Listener } from '../../grammar/decoding/listener.ts';
import { energyActivity } from '../../shared/sound/voice-activity.ts';

export const createBareListener = (tell: (event: Listened) => void): Listener =>
  new Listener({ voice: energyActivity(), ear: null, tell });
