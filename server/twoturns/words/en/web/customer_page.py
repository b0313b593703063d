"""What `twoturns/web/customer_page.py` says."""

NO_PAGE = "This page is not there."
NO_SUCH_PHOTO = "no such photo on this page"
NO_COPY = "this photo has no smaller copy"
NO_BAG = "this page has no file to take along"
