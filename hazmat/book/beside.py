"""What stands beside the entries: personal data that are gone, files, papers, rows that no entry names."""

from collections.abc import Iterator
from hashlib import sha256

from django.apps import apps

from hazmat.book import files, raw
from hazmat.book.aside import Aside
from hazmat.book.entry import Entry
from hazmat.book.raw import BATCH, shown
from hazmat.book.record import label, record_classes
from hazmat.book.rows import Named, Proof, asides, strangers
from hazmat.book.told import KEY
from hazmat.core.codes import code_of


def unnamed_rows(named: Named, proof: Proof, yards: dict[str, str]) -> Iterator[str]:
    """Rows that no entry names, which are looked for where a table holds more rows than entries name."""
    for kind in record_classes():
        if raw.count(kind) != named.rows.get(label(kind), 0):
            yield from strangers(kind, yards)
    if (there := raw.count(Entry)) != proof.entries:
        yield f"{there - proof.entries} entries stand in no yard of this book"


def people(yards: dict[str, str]) -> Iterator[str]:
    """People whom an entry or a role names and who are gone: no backup of such a book could be taken up."""
    person = raw.table(apps.get_model("hazmat", "Person"))
    for kind, by in ((Entry, "by_id"), (apps.get_model("hazmat", "Member"), "person_id")):
        sql = (
            f"SELECT DISTINCT o.yard_id, o.{by} FROM {raw.table(kind)} o LEFT JOIN {person} p ON p.id = o.{by} "
            "WHERE p.id IS NULL"
        )
        for yard, gone in raw.fetched(sql):
            where = f"yard {yards.get(raw.key_of(str(yard)), 'unknown')}"
            yield f"{where}: {kind._meta.label_lower} names the person {shown(str(gone))}, who is gone"


def editions() -> Iterator[str]:
    """Texts of the law that are not those of their digest: an old answer would be read beside another law."""
    kind = apps.get_model("hazmat", "Edition")
    sql = f"SELECT rulebook, digest, {raw.as_bytes('content')} FROM {raw.table(kind)} ORDER BY rulebook, digest"
    for name, digest, content in raw.fetched(sql):
        if sha256(bytes(content)).hexdigest() != digest:
            yield f"the kept edition of the rulebook {name} ({digest}): its text is not that of its digest"


def personal(named: Named, proof: Proof, yards: dict[str, str]) -> Iterator[str]:
    """Personal data that are gone, only where an entry of the yard erased them; and those that nobody named."""
    for record, (code, seq) in named.gone.items():
        where = f"yard {code}, entry {seq}: the personal data of {record}"
        erased = named.erased.get(record)
        if erased and erased[0] == code:
            proof.remarks.append(f"{where} were erased by entry {erased[1]}")
        else:
            yield f"{where} are gone, and no entry erased them"
    back = list(named.erased)
    for start in range(0, len(back), BATCH):
        some = back[start : start + BATCH]
        here = asides([record for record in some if KEY.fullmatch(record)])
        for record in some:
            if raw.key_of(record) in here:
                code, seq = named.erased[record]
                yield f"yard {code}: the personal data of {record} were erased by entry {seq} and are here again"
    if raw.count(Aside) != named.asides:
        yield from _strange_asides(yards)


def _strange_asides(yards: dict[str, str]) -> Iterator[str]:
    """Personal data beside a record whose entry holds no digest of any."""
    digests = {}
    for kind in record_classes():
        key = raw.column(kind._meta.get_field("id")).sql
        sql = f"SELECT {key} FROM {raw.table(kind)} WHERE aside <> ''"
        digests.update({record: True for (record,) in raw.fetched(sql)})
    columns = [raw.column(Aside._meta.get_field(name)).sql for name in ("record", "yard")]
    for record, yard in raw.fetched(f"SELECT {', '.join(columns)} FROM {raw.table(Aside)} ORDER BY record"):
        if record not in digests:
            yield f"yard {yards.get(yard, 'unknown')}: the personal data of {shown(record)} are named by no entry"


def kept_files(named: Named, proof: Proof) -> Iterator[str]:
    """Every byte of every file that an entry names."""
    for digest, (code, seq, name) in named.files.items():
        proof.files += 1
        says = f"yard {code}, entry {seq}: the file {name} ({digest})"
        try:
            path = files.path_of(digest)
            found = files.digest_of(path)
        except FileNotFoundError:
            yield f"{says} is gone"
        except (ValueError, OSError) as wrong:
            yield f"{says} cannot be read: {getattr(wrong, 'strerror', None) or wrong}"
        else:
            if found != digest:
                yield f"{says} was changed"
    orphans = sum(1 for digest in files.kept() if digest not in named.files)
    if orphans:
        are = "1 file is" if orphans == 1 else f"{orphans} files are"
        proof.remarks.append(f"{are} named by no entry: pictures of a form that was not sent, and no fault")


def papers(proof: Proof, yards: dict[str, str]) -> Iterator[str]:
    """Words, digest and check code of every paper, and the length of its printed bytes; no seal yet is no fault."""
    paper, seal = raw.table(apps.get_model("hazmat", "Paper")), raw.table(apps.get_model("hazmat", "Seal"))
    wanted = f"p.number, {raw.as_bytes('p.payload')}, p.digest, p.code, s.sha256, s.size"
    sql = f"SELECT p.id, p.yard_id, {wanted} FROM {paper} p LEFT JOIN {seal} s ON s.paper_id = p.id"
    after: list[object] = []
    while batch := raw.fetched(f"{sql}{' WHERE p.id > %s' if after else ''} ORDER BY p.id LIMIT {BATCH}", after):
        after = [batch[-1][0]]
        for _, yard, number, payload, digest, code, printed, size in batch:
            proof.papers += 1
            where = f"yard {yards.get(raw.key_of(str(yard)), 'unknown')}, paper {number}"
            if sha256(bytes(payload)).hexdigest() != digest:
                yield f"{where}: its words are not those of its digest"
            if _code(digest) != code:
                yield f"{where}: its check code is not that of its digest"
            if printed is None:
                proof.remarks.append(f"{where} is not sealed")
            elif _length(printed) not in (None, size):
                yield f"{where}: the file {printed} has not the {size} bytes that were sealed"


def _code(digest: str) -> str:
    """The check code of a digest; nothing where it is none."""
    try:
        return code_of(digest)
    except ValueError:
        return ""


def _length(digest: str) -> int | None:
    """Bytes of a kept file; None where there is none, which is told elsewhere."""
    try:
        return files.path_of(digest).stat().st_size
    except (OSError, ValueError):
        return None
