// A file sent as the body of a request, its progress told while it goes.

/** Send a file to an address; `told(share)` hears how much of it is sent, 0 to 1. Gives the answer as JSON, or throws words. */
export function send(address, file, told) {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', address);
    request.setRequestHeader('content-type', 'application/octet-stream');
    request.responseType = 'json';
    request.upload.addEventListener('progress', (event) => told(event.lengthComputable ? event.loaded / event.total : 0));
    request.addEventListener('load', () => {
      if (request.status < 300) resolve(request.response);
      else reject(new Error(request.response?.detail ?? `The server answered ${request.status}; try again.`));
    });
    request.addEventListener('error', () => reject(new Error('The file did not get through: the server refused it or there is no connection.')));
    request.send(file);
  });
}

/** Let files be dropped on a box as well as chosen; `taken(files)` hears of them. */
export function takeDropped(box, taken) {
  box.addEventListener('dragover', (event) => { event.preventDefault(); box.classList.add('over'); });
  box.addEventListener('dragleave', () => box.classList.remove('over'));
  box.addEventListener('drop', (event) => {
    event.preventDefault();
    box.classList.remove('over');
    if (event.dataTransfer.files.length) taken(event.dataTransfer.files);
  });
}
