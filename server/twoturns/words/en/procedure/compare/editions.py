"""What `twoturns/procedure/compare/editions.py` says."""

NOTHING_READ = "only what the machine holds is another, nothing that people read"
KIND = {
    "step": "Steps",
    "figure": "Figures",
    "proof": "Proofs",
    "order": "What must be so, and what is left",
    "instead": "Makers' words in place of house rules",
    "caution": "Cautions",
    "tool": "Tools",
    "kit": "Kit",
    "failure": "Failures and what to do then",
    "text": "Texts",
    "drive": "Drive",
    "picture": "Pictures",
    "procedure": "The job as a whole",
}
