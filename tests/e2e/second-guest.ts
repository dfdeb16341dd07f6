/** The other half of the tests among real ALSA clients; see first-guest.ts. */
import './connections.ts';
import './stage.ts';
import './demo.ts';
import './tune.ts';
