"""The command line: reads arguments, calls the core, prints; one line on stderr when it fails."""

from __future__ import annotations

import errno
import os
import sys
import traceback
from collections.abc import Sequence

from deliverylab.core.errors import DeliveryLabError, OutputError

EXIT_INTERRUPTED = 130
_OUTPUT_ERRORS = {errno.ENOSPC, errno.EIO, errno.EBADF}
EXIT_FAULT = 70
"""A fault of the program itself, not of what it was given (EX_SOFTWARE of BSD's sysexits)."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments without the program's name; those of the process when left out.
    """
    try:
        from deliverylab.cli.output import prepare_streams
        from deliverylab.cli.parser import build_parser, with_numbers_kept

        prepare_streams()
        given = with_numbers_kept(sys.argv[1:] if argv is None else argv)
        arguments = build_parser().parse_args(given)
        status: int = arguments.run(arguments)
        sys.stdout.flush()
    except SystemExit as leaving:  # --help and --version leave this way
        return leaving.code if isinstance(leaving.code, int) else 0
    except DeliveryLabError as error:
        print(f"deliverylab: {' '.join(str(error).split())}", file=sys.stderr)
        return error.exit_code
    except KeyboardInterrupt:
        print("deliverylab: interrupted", file=sys.stderr)
        return EXIT_INTERRUPTED
    except BrokenPipeError:
        # whoever read the output has seen enough; nothing is wrong
        _close_output()
        return 0
    except OSError as problem:
        # one without a file's name comes from the output itself
        if problem.filename is None and problem.errno in _OUTPUT_ERRORS:
            _close_output()
            print(f"deliverylab: the output is lost: {problem.strerror}", file=sys.stderr)
            return OutputError.exit_code
        return _own_up()
    except Exception:  # noqa: BLE001 - the last place where a fault can be said politely
        return _own_up()
    return status


def _close_output() -> None:
    """Send what is still to be printed nowhere, so that leaving does not fail anew."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _own_up() -> int:
    traceback.print_exc()
    print(
        "deliverylab: this is a fault of deliverylab itself: please report the lines above",
        file=sys.stderr,
    )
    return EXIT_FAULT
