/** Ids of the page's photos begin with this, so that they are known for photos wherever the conversation is read. */
export const PHOTO = 'photo-';
/** The thread has the messages of a client under their id with this before it. */
export const ECHO = 'c:';

/** Whether a line of the thread stands for a photo from the page. */
export const isPhotoId = (id: string): boolean => id.startsWith(ECHO + PHOTO);
