"""What `twoturns/store/photos_at.py` says."""

FOLDER_NOT_EMPTY = "{folder} is not empty: photos get a folder of their own"
FOLDER_OF_ANOTHER = (
    "{folder} has no photos of this workshop: its disk is away, or they are another''s"
)
WITHIN_ANOTHER = (
    "{prefix} could lie within the photos of another workshop: after its first part a prefix has "
    "none called blobs, damaged, thumbnails, erased, uploads or workshop"
)
NOT_ABSOLUTE = "{folder} is no whole path: the folder of the photos begins with /"
NO_PLACE = "{url} is no place for photos"
NO_PLACE_HINT = (
    "Give dir: for the workshop''s own folder, dir:/a/folder for another one, or "
    "s3+https://host:port/bucket/prefix for an object store."
)
