"""Other zips from a sealed one, as Python's zipfile and a forger would write them.

In: the sealed zip, a folder, how many random ones. Out: a zip a file in the folder; its name says what was done.
"""

import io
import random
import struct
import sys
import zipfile
from pathlib import Path

sealed = Path(sys.argv[1]).read_bytes()
folder = Path(sys.argv[2])
count = int(sys.argv[3])


def entries():
    with zipfile.ZipFile(io.BytesIO(sealed)) as source:
        return [(info, source.read(info)) for info in source.infolist()]


def appended(name, data=b"<p>forged</p>", **about):
    """The sealed zip with one more entry, added by Python."""
    buffer = io.BytesIO(sealed)
    with zipfile.ZipFile(buffer, "a", zipfile.ZIP_STORED) as target:
        info = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
        for key, value in about.items():
            setattr(info, key, value)
        target.writestr(info, data)
    return buffer.getvalue()


def repacked(change=lambda info, data: (info, data), method=zipfile.ZIP_STORED, comment=b"", order=lambda all: all):
    """The same entries, written by Python."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", method) as target:
        target.comment = comment
        for info, data in order(entries()):
            info, data = change(info, data)
            info.compress_type = method
            target.writestr(info, data)
    return buffer.getvalue()


def end():
    """Where the end record, the directory and its length are."""
    at = sealed.rindex(b"PK\5\6")
    size, start = struct.unpack("<II", sealed[at + 12 : at + 20])
    return at, start, size


def end_record(count, size, start):
    return struct.pack("<4sHHHHIIH", b"PK\5\6", 0, 0, count, count, size, start, 0)


def header(name, data, offset):
    import zlib

    fields = (10, 0x800, 0, 0, 0x21, zlib.crc32(data), len(data), len(data), len(name))
    local = struct.pack("<4sHHHHHIIIHH", b"PK\3\4", *fields, 0) + name + data
    central = struct.pack("<4sHHHHHHIIIHHHHHII", b"PK\1\2", 0x314, *fields, 0, 0, 0, 0, 0o100644 << 16, offset) + name
    return local, central


def beyond_the_count(name):
    """One more entry in the directory than the end record counts, its file behind the others."""
    at, start, size = end()
    total = struct.unpack("<H", sealed[at + 10 : at + 12])[0]
    local, central = header(name, b"<p>forged</p>", start)
    return sealed[:start] + local + sealed[start:at] + central + end_record(total, size + len(central), start + len(local))


def only_in_the_directory(name):
    """One more entry in the directory, for the bytes of the first file."""
    at, start, size = end()
    total = struct.unpack("<H", sealed[at + 10 : at + 12])[0]
    _, central = header(name, b"", 0)
    return sealed[:at] + central + end_record(total + 1, size + len(central), start)


def zip64(name):
    """The same, with an end record that leaves the count to one of zip64."""
    at, start, size = end()
    total = struct.unpack("<H", sealed[at + 10 : at + 12])[0]
    local, central = header(name, b"<p>forged</p>", start)
    directory = sealed[start:at] + central
    where = start + len(local)
    wide = struct.pack("<4sQHHIIQQQQ", b"PK\6\6", 44, 45, 45, 0, 0, total + 1, total + 1, len(directory), where)
    locator = struct.pack("<4sIQI", b"PK\6\7", 0, where + len(directory), 1)
    return sealed[:start] + local + directory + wide + locator + end_record(0xFFFF, 0xFFFFFFFF, 0xFFFFFFFF)


def outside_the_directory():
    """A file behind the others that the directory does not list."""
    at, start, size = end()
    total = struct.unpack("<H", sealed[at + 10 : at + 12])[0]
    local, _ = header(b"index.html", b"<p>forged</p>", start)
    return sealed[:start] + local + sealed[start:at] + end_record(total, size, start + len(local))


def in_front_of_all():
    """A file in front of the others that the directory does not list; every offset moves with it."""
    at, start, size = end()
    total = struct.unpack("<H", sealed[at + 10 : at + 12])[0]
    local, _ = header(b"index.html", b"<p>forged</p>", 0)
    directory, out = sealed[start:at], b""
    while directory:
        name, extra, remark = struct.unpack("<HHH", directory[28:34])
        length = 46 + name + extra + remark
        offset = struct.unpack("<I", directory[42:46])[0] + len(local)
        out += directory[:42] + struct.pack("<I", offset) + directory[46:length]
        directory = directory[length:]
    return local + sealed[:start] + out + end_record(total, size, start + len(local))


def renamed_local():
    """The first header by itself gives its file another name than the directory does."""
    length = struct.unpack("<H", sealed[26:28])[0]
    return sealed[:30] + b"Z" * length + sealed[30 + length :]


def commented(info, data):
    info.comment = b"a remark"
    return info, data


def with_extra(info, data):
    info.extra = struct.pack("<HH4s", 0x9999, 4, b"more")
    return info, data


def forged(info, data):
    return info, data.replace(b"<", b"< ", 1) if info.filename == "index.html" else data


def at_random(seed):
    """Entries changed, doubled, renamed, dropped and shuffled."""
    dice = random.Random(seed)

    def change(info, data):
        deed = dice.randrange(12)
        if deed == 0 and data:
            at = dice.randrange(len(data))
            data = data[:at] + bytes([data[at] ^ 1 << dice.randrange(8)]) + data[at + 1 :]
        elif deed == 1:
            info.filename = dice.choice([info.filename.upper(), "../" + info.filename, info.filename + "\\", "/" + info.filename])
        elif deed == 2:
            info.external_attr = 0o120777 << 16
        elif deed == 3:
            info, data = with_extra(info, data)
        elif deed == 4:
            info.date_time = (1999, 12, 31, 23, 59, 58)
        return info, data

    def order(all):
        for _ in range(dice.randrange(3)):
            all.insert(dice.randrange(len(all)), dice.choice(all))
        if dice.randrange(3) == 0:
            all.pop(dice.randrange(len(all)))
        if dice.randrange(3) == 0:
            dice.shuffle(all)
        return all

    method = dice.choice([zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED])
    comment = dice.choice([b"", b"", b"a remark"])
    return repacked(change, method, comment, order)


made = {
    "an entry more": appended("evil.html"),
    "an entry more that ends in a backslash": appended("evil.html\\"),
    "a folder more": appended("evil/", b""),
    "a path that leads out": appended("../slip.txt"),
    "an absolute path": appended("/tmp/slip.txt"),
    "a name in another case": appended("Index.html"),
    "a name in another form of Unicode": appended("inde\u0301x.html"),
    "a duplicate": appended("index.html"),
    "an empty name": appended(""),
    "a link": appended("link.html", b"index.html", external_attr=0o120777 << 16),
    "beyond the count": beyond_the_count(b"index.html"),
    "beyond the count, leading out": beyond_the_count(b"../slip.txt"),
    "only in the directory": only_in_the_directory(b"../slip.txt"),
    "counted by zip64": zip64(b"index.html"),
    "outside the directory": outside_the_directory(),
    "in front, outside the directory": in_front_of_all(),
    "a local header with another name": renamed_local(),
    "bytes in front": b"MZ and more" + sealed,
    "bytes behind": sealed + b"and more",
    "the zip twice": sealed + sealed,
    "packed": repacked(method=zipfile.ZIP_DEFLATED),
    "packed harder": repacked(method=zipfile.ZIP_LZMA),
    "a remark on the whole": repacked(comment=b"a remark"),
    "remarks on entries": repacked(commented),
    "extra fields": repacked(with_extra),
    "the other way round": repacked(order=lambda all: all[::-1]),
    "a changed page": repacked(forged),
    "without its last file": repacked(order=lambda all: all[:-1]),
    "without its seal": repacked(order=lambda all: [one for one in all if one[0].filename != "seal.json"]),
    "empty": repacked(order=lambda all: []),
}
for name, data in made.items():
    (folder / f"{name}.zip").write_bytes(data)
for seed in range(count):
    (folder / f"random {seed}.zip").write_bytes(at_random(seed))
