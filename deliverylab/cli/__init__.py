"""The command line: reads arguments, calls the core, prints; one line on stderr when it fails."""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Sequence

from deliverylab.core.errors import DeliveryLabError

EXIT_INTERRUPTED = 130
EXIT_FAULT = 70
"""A fault of the program itself, not of what it was given (EX_SOFTWARE of BSD's sysexits)."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status.

    Parameters
    ----------
    argv : sequence of str, optional
        Arguments without the program's name; those of the process when left out.
    """
    from deliverylab.cli.output import prepare_streams
    from deliverylab.cli.parser import build_parser

    prepare_streams()
    try:
        arguments = build_parser().parse_args(argv)
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
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception:  # noqa: BLE001 - the last place where a fault can be said politely
        traceback.print_exc()
        print(
            "deliverylab: this is a fault of deliverylab itself: please report the lines above",
            file=sys.stderr,
        )
        return EXIT_FAULT
    return status
