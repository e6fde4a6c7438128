"""Content hash and head checksum of a Thirstline file, computed from the description in schema/FORMAT.md only.

Usage: content_hash_from_format.py FILE      prints the SHA-256 and the CRC-32, one per line.
"""
import sqlite3
import sys

import reject_from_format


def main():
    database = sqlite3.connect(f"file:{sys.argv[1]}?mode=ro&immutable=1", uri=True)
    print(reject_from_format.content_hash(database))
    print(reject_from_format.head_crc(database))


main()
