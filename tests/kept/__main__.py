"""Compare the numbers of the kit with those kept, or write them anew."""

import json
import os
import sys
import tempfile


def main():
    from tests.kept import TABLES, moved, path

    command, *which = sys.argv[1:] or ["compare"]
    changed = 0
    for table in which or TABLES:
        now = TABLES[table]()
        if command == "write":
            path(table).write_text(json.dumps(now, indent=0, ensure_ascii=False) + "\n", encoding="utf-8")
            print(f"{table}: {len(now)} rows written")
            continue
        found = moved(table, now)
        changed += len(found)
        print(f"{table}: {len(now)} rows, {len(found)} not as kept")
        for key, (before, after) in found.items():
            print(f"  {key}\n    was {before}\n    now {after}")
    return 1 if changed else 0


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as home:
        os.environ["COURSEKIT_HOME"] = home
        sys.exit(main())
