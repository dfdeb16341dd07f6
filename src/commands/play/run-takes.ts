/** What a run records: the takes that are always kept, and with `--record` the one for a file. */
import { given } from '../../common/given.ts';
import type { Result } from '../../common/result.ts';
import type { TakeFile } from '../../io/takes/take-file.ts';
import { TakeSpool } from '../../io/takes/take-spool.ts';
import type { Metre } from '../../midi/metre.ts';
import { openRecorder, type PlayRecorder } from '../../session/recording.ts';
import { describedBy } from '../../session/remembered-settings.ts';
import type { PlaySession } from '../../session/session.ts';
import { takeToMidiFile } from '../../take/midi-file.ts';
import { pausesTold, withShortPauses } from '../../take/pauses.ts';

export type RunTakesOptions = {
  /** Where takes are kept. */
  readonly folder: string;
  /** What `--record` names. */
  readonly file: TakeFile | undefined;
  readonly metre: Metre | undefined;
  /** A sentence for whoever does not see the session's own; '' takes it away. */
  readonly say: (sentence: string) => void;
};

export class RunTakes {
  readonly #options: RunTakesOptions;
  #recorder: PlayRecorder | undefined;
  /** What `--record` writes at the end. */
  #spool: TakeSpool | undefined;

  constructor(options: RunTakesOptions) {
    this.#options = options;
  }

  /** Always listening; the times of one engine only stand in one take. */
  listenTo(session: PlaySession): void {
    const ended = this.end();
    if (ended !== '') session.say(`Other ports end a take. ${ended}`);
    const { folder, file, say } = this.#options;
    const describe = () => describedBy(session);
    if (file !== undefined) this.#spool ??= new TakeSpool(folder, new Date(), describe());
    this.#recorder = openRecorder(
      folder,
      describe,
      (sentence) => {
        session.say(sentence);
        say(sentence);
      },
      () => session.refresh(),
    );
    session.tape.use(this.#recorder, this.#spool);
  }

  /** Where what was played is, as far as it is not where one looks for it, or ''. */
  end(): string {
    const ended = this.#recorder?.end() ?? '';
    this.#recorder = undefined;
    return ended;
  }

  /**
   * Writes the file that was asked for and says where it is, '' when none was. When it cannot be
   * had, the take stays among the others.
   */
  save(): Result<string> {
    const { file, metre } = this.#options;
    if (file === undefined || this.#spool === undefined) return { ok: true, value: '' };
    const take = this.#spool.take();
    if (!take.ok) return take;
    const { take: short, pauses } = withShortPauses(take.value);
    const saved = file.save(takeToMidiFile(short, given('metre', metre)));
    if (saved.ok) this.#spool.discard();
    if (saved.ok) this.#options.say(pausesTold(pauses));
    return saved;
  }
}
