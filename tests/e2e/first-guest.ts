/** Half of the tests among real ALSA clients: in a guest of its own, beside the other half. */
import './playing.ts';
import './existing-ports.ts';
import './learn.ts';
import './files.ts';
import './two-hands.ts';
import './clocked-take.ts';
