"""What `twoturns/procedure/compile/bundle.py` says."""

SEND_BYTES_COMPILER_WROTE_THEM = "Send the bytes as the compiler wrote them."
COMPILE_PROCEDURE_AGAIN_VERSION = "Compile the procedure again with this version of the program."
CANNOT_READ = "{folder} cannot be read: {strerror}"
PROCEDURE_FOLDER_HOLDS_PICTURES = (
    "A procedure is a folder that holds ''{source_name}' and its pictures."
)
PICTURE_MISSING = "the picture ''{name}' is missing ({blob})"
SEND_PICTURES_BUNDLE_BEFORE = "Send the pictures of a bundle before the bundle."
V_NEWEST_HERE = "v is {v}, the newest here is {form}"
IT_HAS_THE_FIELD = "it has the field {path}"
THE_BUNDLE = "the bundle"
BUNDLE_BYTES_MOST = "the bundle has {data} bytes, the most is {most_bytes}"
PICTURES_KEPT_BESIDE_BUNDLE_NOT = "Pictures are kept beside a bundle, not in it."
BYTES_NOT_CANONICAL_FORM_THEY = "the bytes are not the canonical form of what they say"
BUNDLE_NOT_CANONICAL_JSON = "the bundle is not canonical JSON: {error}"
