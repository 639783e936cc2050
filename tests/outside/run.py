"""Outside checks: the program against published worked examples and Python reference libraries, live.

Reads STEMCLOCK, the path of the built program. Each file beside this one named check_*.py holds functions named
check_*, which yield (what, found, expected, tolerance) or (what, found, expected). The first line of a function's
docstring names its source. Prints how many checks there were; exits 1 if any failed.
"""

import importlib
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).parent))


def close(found, expected, tolerance):
    if isinstance(expected, (int, float)) and not isinstance(expected, bool):
        return isinstance(found, (int, float)) and abs(found - expected) <= tolerance
    return found == expected


def main():
    passed = failed = 0
    for path in sorted(pathlib.Path(__file__).parent.glob("check_*.py")):
        module = importlib.import_module(path.stem)
        for name in sorted(n for n in dir(module) if n.startswith("check_")):
            function = getattr(module, name)
            source = (function.__doc__ or "").strip().splitlines()[0:1]
            if not source:
                print(f"{path.stem}.{name}: names no source")
                failed += 1
                continue
            count = 0
            for row in function():
                what, found, expected, *tolerance = row
                count += 1
                if close(found, expected, tolerance[0] if tolerance else 0.0):
                    passed += 1
                else:
                    failed += 1
                    print(f"{path.stem}.{name}: {what}: found {found!r}, expected {expected!r} ({source[0]})")
            if count == 0:
                failed += 1
                print(f"{path.stem}.{name}: checked nothing")
            print(f"   {count:4d}  {source[0]}")
    print(f"outside: {passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main())
