"""
What a procedure says, and what a job makes of it.

    language   source (YAML with positions), its schema, the names of its conditions
    rules      house rules: never do this while that, as data
    drive      the belt drive: solved (the phone draws it)
    compile    from a folder's source to the immutable bytes of a bundle
    machine    the machine in a bundle: fold, plan, and what is open or refused
    prove      everywhere one phone can go with a bundle, looked at before it is published
    compare    what is another in an edition than in one before it
"""
