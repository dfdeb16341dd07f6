/** All of the tests among real ALSA clients, for a machine that has a sequencer of its own. */
import './first-guest.ts';
import './second-guest.ts';
